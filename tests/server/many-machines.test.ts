import { spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { readFileSync, writeFileSync } from 'node:fs';
import { createServer, request } from 'node:http';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BASE } from '@veligrid/api';
import { openStore } from '@veligrid/storage';
import { newFolder } from '../storage/new-folder.js';
import { startPostgres, withoutPostgres, type PrivatePostgres } from '../support/private-postgres.js';
import { newSample, photoForm } from './support.ts';
import { main, serve, type Program } from './running-program.ts';

const slide = readFileSync(join(import.meta.dirname, '../../sample-images/drawn/umbo_04.jpg'));

/** One address before several servers, which get requests in turn. */
async function inTurn(urls: readonly string[]): Promise<{ readonly url: string; readonly close: () => void }> {
  let next = 0;
  const proxy = createServer((req, res) => {
    next += 1;
    const to = new URL(req.url ?? '/', urls[next % urls.length]);
    const sent = request(to, { method: req.method, headers: req.headers }, (answer) => {
      res.writeHead(answer.statusCode ?? 502, answer.headers);
      answer.pipe(res);
    });
    req.pipe(sent);
    res.on('close', () => sent.destroy());
    sent.on('error', () => res.destroy());
  });
  proxy.listen(0, '127.0.0.1');
  await once(proxy, 'listening');
  const url = `http://127.0.0.1:${(proxy.address() as AddressInfo).port}`;
  return { url, close: () => void (proxy.closeAllConnections(), proxy.close()) };
}

describe.skipIf(withoutPostgres)('two servers and workers on one PostgreSQL', () => {
  let postgres: PrivatePostgres;
  const programs: Program[] = [];
  const workers: ChildProcess[] = [];
  beforeAll(async () => {
    postgres = await startPostgres();
  });
  afterAll(async () => {
    for (const program of programs) await program.end('SIGKILL');
    for (const worker of workers) worker.kill('SIGKILL');
    await postgres.remove();
  });

  it('are one house behind one address, and lose nothing with a worker', { timeout: 300_000 }, async () => {
    const [database, photos] = [await postgres.newDatabase(), join(newFolder(), 'photos')];
    const file = (): string => {
      const folder = newFolder();
      writeFileSync(join(folder, 'place.json'), JSON.stringify({ database, photos, folder: 'own' }));
      return join(folder, 'place.json');
    };
    const work = (): ChildProcess => {
      const worker = spawn(process.execPath, [main, 'worker', '--database-file', file(), '--threads', '1']);
      workers.push(worker);
      return worker;
    };
    const start = async (): Promise<Program> => {
      const program = await serve('--database-file', file(), '--threads', '0', '--accounts');
      programs.push(program);
      return program;
    };
    const [one, two] = [await start(), await start()];
    const proxy = await inTurn([one.url, two.url]);
    let cookie = '';
    const send = async (url: string, method: string, path: string, body?: object | FormData): Promise<any> => {
      const json = body === undefined || body instanceof FormData ? {} : { 'Content-Type': 'application/json' };
      const answer = await fetch(`${url}${BASE}${path}`, {
        method,
        headers: { 'Sec-Fetch-Site': 'same-origin', Cookie: cookie, ...json },
        ...(body === undefined ? {} : { body: body instanceof FormData ? body : JSON.stringify(body) }),
      });
      const set = answer.headers.getSetCookie().find((line) => line.startsWith('veligrid'));
      if (set !== undefined) cookie = set.split(';')[0];
      return answer.json();
    };

    // signed in at one, known to the other
    await expect.poll(() => one.output()).toMatch(/works once: \S+/);
    const code = /works once: (\S+)/.exec(one.output())?.[1];
    const manager = { code, name: 'Rosa', password: 'the tide is out' };
    expect(await send(one.url, 'POST', '/first-manager', manager)).toMatchObject({ who: 'Rosa' });
    expect(await send(two.url, 'GET', '/session')).toMatchObject({ who: 'Rosa', role: 'manager' });

    const tank = (await send(proxy.url, 'POST', '/tanks', { name: '7' })).id as string;
    const asked = { ...newSample(tank), scale: { kind: 'ruled-lines' } };
    const sample = (await send(proxy.url, 'POST', '/samples', asked)).id as string;

    // what a viewer that watches at the other server is told
    const told: string[] = [];
    const watching = new AbortController();
    const events = await fetch(`${two.url}${BASE}/samples/${sample}/events`, {
      headers: { Cookie: cookie },
      signal: watching.signal,
    });
    const listening = (async () => {
      const decoder = new TextDecoder();
      for await (const chunk of events.body ?? []) told.push(decoder.decode(chunk as Uint8Array));
    })().catch(() => undefined);

    const first = work();
    const sent = await send(one.url, 'POST', `/samples/${sample}/photos`, photoForm({ 'one.jpg': slide }));
    const photo = (sent.photos as { id: string }[])[0].id;
    const state = async (): Promise<string> =>
      ((await send(proxy.url, 'GET', `/photos/${photo}`)) as { state: string }).state;
    await expect.poll(state, { timeout: 120_000, interval: 30 }).toBe('counting');
    first.kill('SIGKILL');
    await once(first, 'exit');
    work();
    await expect.poll(state, { timeout: 200_000, interval: 200 }).toBe('counted');
    await expect.poll(() => told.join('')).toContain('"state":"counted"');

    // relabelled at one, seen at the other
    const { detections } = await send(proxy.url, 'GET', `/photos/${photo}/detections`);
    const object = (detections as { id: string }[])[0].id;
    const relabel = { id: 'first', kind: 'relabel', photo, object, stage: 'd-larva' };
    const decided = { expectedOrder: 0, decisions: [relabel] };
    expect(await send(one.url, 'POST', `/samples/${sample}/decisions`, decided)).toMatchObject({ order: 1 });
    await expect.poll(() => told.join(''), { timeout: 10_000 }).toContain('event: decisions\ndata: {"order":1}');
    const other = { expectedOrder: 0, decisions: [{ ...relabel, id: 'second', stage: 'umbo' }] };
    expect(await send(two.url, 'POST', `/samples/${sample}/decisions`, other)).toMatchObject({ status: 409 });
    expect((await send(two.url, 'GET', `/samples/${sample}/decisions`)).decisions).toMatchObject([{ id: 'first' }]);
    watching.abort();
    await listening;
    proxy.close();

    const store = await openStore(file());
    expect(await store.detections.ofPhoto(photo)).toHaveLength(1);
    expect(await store.jobs.list({ subjects: [photo] })).toMatchObject([{ state: 'done', attempts: 2 }]);
    expect(await store.check()).toEqual([]);
    await store.close();
    for (const program of programs.splice(0)) expect(await program.end('SIGTERM')).toBe(0);
  });
});
