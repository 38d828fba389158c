import type { AddressInfo } from 'node:net';
import { afterEach, describe, expect, it } from 'vitest';
import { BASE } from '@veligrid/api';
import { createApp } from '@veligrid/server';
import type { Job } from '@veligrid/storage';
import { logLine } from '../../apps/server/src/watching/log-line.js';
import { createMeters } from '../../apps/server/src/watching/meters.js';
import type { Watched } from '../../apps/server/src/watching/mount-watching.js';
import { addCounted, asAna, begin, countFor, startTestServer, type TestServer, type Wanted } from './support.ts';

const closing: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of closing.splice(0)) await close();
});

async function start(wanted: Wanted = {}): Promise<TestServer> {
  const at = await startTestServer(wanted);
  closing.push(at.close);
  return at;
}

/** The same house behind a proxy, watched as said. */
async function behindProxy({ house, faults }: TestServer, watched: Partial<Watched> = {}): Promise<string> {
  const app = createApp(house, {
    localOnly: false,
    trustProxy: true,
    webFolder: '/nowhere',
    log: (message) => faults.push(message),
    watched: { meters: createMeters(house.store), workersAlive: () => true, ...watched },
  });
  const server = app.listen(0, '127.0.0.1');
  await new Promise((resolve) => server.once('listening', resolve));
  closing.unshift(async () => {
    server.closeAllConnections();
    await new Promise((resolve) => server.close(resolve));
  });
  return `http://127.0.0.1:${String((server.address() as AddressInfo).port)}`;
}

const got = async (url: string, headers: Record<string, string> = {}): Promise<[number, string]> => {
  const answer = await fetch(url, { headers });
  return [answer.status, await answer.text()];
};

/** Somebody far away, in the addresses kept for examples (RFC 5737). */
const FAR = { 'X-Forwarded-For': '203.0.113.9' };

describe('/healthz and /readyz', () => {
  it('say that it lives and can work', async () => {
    const at = await start();
    expect(await got(`${at.url}/healthz`)).toEqual([200, '{"alive":true}']);
    expect(await got(`${at.url}/readyz`)).toEqual([200, '{"ready":true,"store":true,"disk":true,"workers":true}']);
  });

  it.each([
    ['workers', { workersAlive: () => false }],
    ['disk', { free: () => Promise.resolve(999_999_999) }],
    ['disk', { free: () => Promise.reject(new Error('no such disk')) }],
  ] as const)('say which part can not: %s', async (part, watched) => {
    const url = await behindProxy(await start(), watched);
    const [status, text] = await got(`${url}/readyz`);
    const all = { ready: false, store: true, disk: true, workers: true, [part]: false };
    expect([status, JSON.parse(text)]).toEqual([503, all]);
    expect((await got(`${url}/healthz`))[0]).toBe(200);
  });

  it('say that the store does not answer', async () => {
    const at = await start();
    const closed = { ...at.house.store, ping: () => Promise.resolve(false) };
    const url = await behindProxy({ ...at, house: { ...at.house, store: closed } });
    expect((await got(`${url}/readyz`))[1]).toContain('"store":false');
  });
});

describe('/metrics', () => {
  it('are for managers and for programs of this machine only', async () => {
    const at = await start({ accountsWanted: true });
    const [manager, counter] = [await at.signedIn('manager'), await at.signedIn('counter')];
    const url = `${await behindProxy(at)}/metrics`;
    expect((await got(url))[0]).toBe(200);
    expect((await got(url, FAR))[0]).toBe(403);
    expect((await got(url, { ...FAR, Cookie: counter }))[0]).toBe(403);
    expect((await got(url, { ...FAR, Cookie: manager }))[0]).toBe(200);
  });

  it('count photos, objects, decisions, the queue and problems, and name nobody', async () => {
    const at = await start();
    const sample = await begin(at);
    const [photo] = await addCounted(at, sample);
    const decision = { id: 'first', kind: 'relabel', photo, object: 'a', stage: 'd-larva' };
    const json = { expectedOrder: 0, decisions: [decision] };
    const decided = await at.send('POST', `${BASE}/samples/${sample}/decisions`, { cookie: asAna, json });
    expect(decided.status).toBe(201);
    await at.house.store.jobs.add([{ kind: 'count-photo', subject: photo, payload: {} }]);
    await at.send('GET', `${BASE}/samples/none`, { cookie: asAna });
    const [, text] = await got(`${at.url}/metrics`);
    for (const line of [
      'veligrid_photos{state="counted"} 1',
      'veligrid_photos{state="uncounted"} 0',
      `veligrid_objects_counted ${String(countFor(photo).detections.filter(({ counted }) => counted).length)}`,
      'veligrid_decisions 1',
      'veligrid_queue_photos{state="waiting"} 1',
      'veligrid_queue_photos{state="running"} 0',
      'veligrid_problems_total{kind="not-found"} 1',
      'veligrid_answer_seconds_count{route="/samples/{sample}/decisions"} 1',
    ]) {
      expect(text.split('\n')).toContain(line);
    }
    expect(text).toMatch(/^veligrid_disk_free_bytes [1-9]/m);
    expect(text).not.toMatch(/Ana|Tank|IMG/);
    // each line as the text format 0.0.4 has it (Prometheus, "Exposition formats")
    const sampleLine = /^[a-zA-Z_:][\w:]*(\{[a-zA-Z_]\w*="[^"]*"(,[a-zA-Z_]\w*="[^"]*")*\})? (NaN|[+-]?Inf|[-+.\de]+)$/;
    for (const line of text.trimEnd().split('\n')) {
      if (line !== '' && !/^# (HELP|TYPE) /.test(line)) expect(line).toMatch(sampleLine);
    }
  });

  it('tell how long photos waited and were counted', async () => {
    const { house } = await start();
    const meters = createMeters(house.store);
    const job = (state: Job['state'], changedAt: string): Job =>
      ({ id: 'j', state, addedAt: '2026-06-03T08:00:00.000Z', changedAt }) as Job;
    meters.jobChanged(job('running', '2026-06-03T08:00:40.000Z'));
    meters.jobChanged(job('done', '2026-06-03T08:00:47.500Z'));
    const { text } = await meters.text();
    expect(text).toContain('veligrid_step_seconds_sum{step="wait"} 40\n');
    expect(text).toContain('veligrid_step_seconds_sum{step="count"} 7.5\n');
    expect(text).toContain('veligrid_counts_ended_total{state="done"} 1\n');
  });

  it('tell how long the oldest photo has waited', async () => {
    const { house } = await start();
    const [job] = await house.store.jobs.add([{ kind: 'count-photo', subject: 'p', payload: {} }]);
    const meters = createMeters(house.store, () => Date.parse(job.addedAt) + 90_000);
    expect((await meters.text()).text).toContain('veligrid_queue_oldest_seconds 90\n');
  });
});

describe('the log', () => {
  it('is one line of JSON for each fault, whatever the message', () => {
    const line = logLine(new Date(0), 'GET /x: Error: a "b"\u0007\n    at f (file.js:1:2)');
    expect(line).not.toContain('\n');
    expect(JSON.parse(line)).toEqual({
      at: '1970-01-01T00:00:00.000Z',
      level: 'error',
      message: 'GET /x: Error: a "b"\u0007',
      stack: ['at f (file.js:1:2)'],
    });
  });

  it('says nothing of who asked and what was sent', async () => {
    const at = await start();
    const broken = {
      ...at.house.store,
      tanks: { ...at.house.store.tanks, list: () => Promise.reject(new Error('disk gone')) },
    };
    const url = await behindProxy({ ...at, house: { ...at.house, store: broken } });
    const answer = await fetch(`${url}${BASE}/tanks?word=secret`, { headers: { ...FAR, Cookie: asAna } });
    expect(answer.status).toBe(500);
    expect(at.faults.join()).toContain(`GET ${BASE}/tanks: Error: disk gone`);
    expect(at.faults.join()).not.toMatch(/Ana|203\.0\.113\.9|secret/);
  });
});
