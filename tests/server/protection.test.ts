import { afterEach, describe, expect, it, vi } from 'vitest';
import { request } from 'node:http';
import { BASE } from '@veligrid/api';
import { asAna, startTestServer, type TestServer, type Wanted } from './support.ts';

let server: TestServer | null = null;
async function start(wanted: Wanted = {}): Promise<TestServer> {
  server = await startTestServer(wanted);
  return server;
}
afterEach(async () => {
  await server?.close();
  server = null;
});

/** A request with any Host header, which fetch does not let one set. */
function withHost(url: string, host: string): Promise<number | undefined> {
  return new Promise((resolve, reject) => {
    request(`${url}${BASE}/session`, { headers: { Host: host } }, (answer) => {
      answer.resume();
      resolve(answer.statusCode);
    })
      .on('error', reject)
      .end();
  });
}

describe('changes from other sites', () => {
  const json = { name: '07' };
  const tanks = `${BASE}/tanks`;

  it.each(['cross-site', 'same-site'])('are refused by Sec-Fetch-Site %s', async (site) => {
    const at = await start();
    const got = await at.send('POST', tanks, { cookie: asAna, json, headers: { 'Sec-Fetch-Site': site } });
    expect(got.json).toMatchObject({ status: 403, kind: 'cross-site' });
    expect(await at.house.store.tanks.list()).toEqual([]);
  });

  it('are told by Origin where a browser sends no Sec-Fetch-Site', async () => {
    const at = await start();
    const send = (headers: Record<string, string>): Promise<Response> =>
      fetch(at.url + tanks, {
        method: 'POST',
        body: JSON.stringify(json),
        // fetch of Node sends Sec-Fetch-Mode only
        headers: { Cookie: asAna, 'Content-Type': 'application/json', ...headers },
      });
    expect((await send({ Origin: 'https://elsewhere.example' })).status).toBe(403);
    expect((await send({ Origin: 'null' })).status).toBe(403);
    expect((await send({})).status).toBe(403);
    expect((await send({ Origin: at.url })).status).toBe(201);
  });

  it('do not reach a server of this machine under another name', async () => {
    const at = await start({ localOnly: true });
    const port = new URL(at.url).port;
    expect(await withHost(at.url, `127.0.0.1:${port}`)).toBe(200);
    expect(await withHost(at.url, `localhost:${port}`)).toBe(200);
    expect(await withHost(at.url, `[::1]:${port}`)).toBe(200);
    expect(await withHost(at.url, 'rebound.example')).toBe(403);
    expect(await withHost(at.url, 'localhost.example')).toBe(403);
  });
});

describe('headers', () => {
  it('let pages load from this server only and run no inline script', async () => {
    const at = await start();
    const { headers } = await at.send('GET', '/', { headers: { Accept: 'text/html' } });
    const policy = headers.get('Content-Security-Policy') ?? '';
    expect(policy).toContain("default-src 'none'");
    expect(policy).toContain("script-src 'self'");
    expect(policy).toContain("frame-ancestors 'none'");
    expect(policy).not.toMatch(/unsafe|https:|upgrade-insecure/);
    expect(headers.get('X-Content-Type-Options')).toBe('nosniff');
    expect(headers.get('Strict-Transport-Security')).toBeNull();
    expect(headers.get('X-Powered-By')).toBeNull();
  });

  it('keep answers out of shared caches', async () => {
    const at = await start();
    expect((await at.send('GET', `${BASE}/tanks`)).headers.get('Cache-Control')).toBe('private, no-cache');
  });
});

describe('problems', () => {
  it('are RFC 9457 problem details that name the field', async () => {
    const at = await start();
    const got = await at.send('POST', `${BASE}/tanks`, { cookie: asAna, json: { name: '', volumeMl: -1 } });
    expect(got.headers.get('Content-Type')).toMatch(/^application\/problem\+json/);
    expect(got.json).toMatchObject({ type: '/problems/bad-request', status: 400, title: expect.any(String) as string });
    expect((got.json.fields as { field: string }[]).map(({ field }) => field)).toEqual(['name', 'volumeMl']);
  });

  it('are told for what can not be read', async () => {
    const at = await start();
    const send = async (body: string, type = 'application/json'): Promise<number> => {
      const headers = { 'Sec-Fetch-Site': 'same-origin', Cookie: asAna, 'Content-Type': type };
      return (await fetch(`${at.url}${BASE}/tanks`, { method: 'POST', body, headers })).status;
    };
    expect(await send('{"name":')).toBe(400);
    expect(await send('name=07', 'application/x-www-form-urlencoded')).toBe(400);
    expect(await send(`{"name":"${'x'.repeat(9_000_000)}"}`)).toBe(413);
    expect((await at.send('GET', `${BASE}/nothing`)).json).toMatchObject({ status: 404, kind: 'not-found' });
    expect((await at.send('GET', `${BASE}/samples/%zz`)).status).toBe(400);
    expect(at.faults).toEqual([]);
  });

  it('tell nothing of a fault of ours but to the log', async () => {
    const at = await start();
    at.house.store.tanks.list = () => Promise.reject(new Error('secret of the disk'));
    const got = await at.send('GET', `${BASE}/tanks`);
    expect(got.status).toBe(500);
    expect(got.text).not.toContain('secret');
    expect(at.faults[0]).toContain('secret of the disk');
  });
});

describe('too many changes', () => {
  it('from one address are slowed down, looking is not', async () => {
    const at = await start({ rates: { changes: 2, secrets: 100 } });
    const add = async (name: string): Promise<number> =>
      (await at.send('POST', `${BASE}/tanks`, { cookie: asAna, json: { name } })).status;
    expect([await add('1'), await add('2'), await add('3')]).toEqual([201, 201, 429]);
    expect((await at.send('GET', `${BASE}/tanks`)).status).toBe(200);
  });

  it('of a minute are forgotten after it, also when the clock was set back by hours meanwhile', async () => {
    const at = await start({ rates: { changes: 2, secrets: 100 } });
    const add = async (name: string): Promise<number> =>
      (await at.send('POST', `${BASE}/tanks`, { cookie: asAna, json: { name } })).status;
    vi.useFakeTimers({ toFake: ['Date', 'performance'] });
    try {
      expect([await add('1'), await add('2'), await add('3')]).toEqual([201, 201, 429]);
      vi.setSystemTime(Date.now() - 3 * 3_600_000);
      vi.advanceTimersByTime(59_000);
      expect(await add('3')).toBe(429);
      vi.advanceTimersByTime(2000);
      expect([await add('3'), await add('4'), await add('5')]).toEqual([201, 201, 429]);
    } finally {
      vi.useRealTimers();
    }
  });
});

describe('pages', () => {
  it('say what to do while the viewer is not built, and describe the interface', async () => {
    const at = await start();
    const page = await at.send('GET', '/samples/7', { headers: { Accept: 'text/html' } });
    expect([page.status, page.text.includes('npm run build')]).toEqual([503, true]);
    const described = await at.send('GET', `${BASE}/`);
    expect(described.text).toContain('<code>POST /api/v1/samples/{sample}/decisions</code>');
    expect(described.text).not.toMatch(/<script|style=/);
    expect((await at.send('GET', '/assets/..%2f..%2fdata/veligrid.db')).json).toMatchObject({ status: 404 });
  });
});
