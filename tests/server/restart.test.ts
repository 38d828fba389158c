import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { BASE } from '@veligrid/api';
import { newSample, photoForm } from './support.ts';
import { serve, type Program } from './running-program.ts';

const folder = mkdtempSync(join(tmpdir(), 'veligrid-serve-'));
const data = join(folder, 'hatchery');
const running: Program[] = [];
afterAll(async () => {
  for (const program of running) await program.end('SIGKILL');
  rmSync(folder, { recursive: true, force: true });
});

async function start(...args: readonly string[]): Promise<Program> {
  const program = await serve('--data', data, '--threads', '1', ...args);
  running.push(program);
  return program;
}

async function send({ url }: Program, method: string, path: string, body?: object | FormData): Promise<any> {
  const json = body === undefined || body instanceof FormData ? {} : { 'Content-Type': 'application/json' };
  const answer = await fetch(`${url}${BASE}${path}`, {
    method,
    headers: { 'Sec-Fetch-Site': 'same-origin', Cookie: 'veligrid-name=Ana', ...json },
    ...(body === undefined ? {} : { body: body instanceof FormData ? body : JSON.stringify(body) }),
  });
  return answer.json();
}

const slide = (name: string): Buffer => readFileSync(join(import.meta.dirname, '../../sample-images/drawn', name));

describe('a server that is killed between any two steps', () => {
  it('goes on from the same place', { timeout: 600_000 }, async () => {
    let at = await start();
    const killed = async (): Promise<void> => {
      await at.end('SIGKILL');
      at = await start();
    };
    const tank = (await send(at, 'POST', '/tanks', { name: '7' })).id as string;
    await killed();
    const asked = { ...newSample(tank), scale: { kind: 'ruled-lines' } };
    const sample = (await send(at, 'POST', '/samples', asked)).id as string;
    await killed();
    const form = photoForm({ 'one.jpg': slide('umbo_04.jpg') });
    const { photos } = (await send(at, 'POST', `/samples/${sample}/photos`, form)) as { photos: { id: string }[] };
    const states = async (): Promise<string[]> =>
      ((await send(at, 'GET', `/samples/${sample}/photos`)).photos as { state: string }[]).map(({ state }) => state);
    await expect.poll(states, { timeout: 60_000 }).toContain('counting');
    await killed();
    await expect.poll(states, { timeout: 200_000 }).toEqual(['counted']);

    const { detections } = await send(at, 'GET', `/photos/${photos[0].id}/detections`);
    const object = (detections as { id: string }[])[0].id;
    const decision = { id: 'first', kind: 'relabel', photo: photos[0].id, object, stage: 'd-larva' };
    expect(
      await send(at, 'POST', `/samples/${sample}/decisions`, { expectedOrder: 0, decisions: [decision] }),
    ).toMatchObject({ order: 1 });
    await killed();
    expect((await send(at, 'GET', `/samples/${sample}/decisions`)).decisions).toMatchObject([
      { id: 'first', by: 'Ana' },
    ]);
    for (const { id } of photos) await send(at, 'PUT', `/photos/${id}/looked-at`, { order: 1 });
    await killed();
    const { missing } = await send(at, 'GET', `/samples/${sample}/proposal`);
    expect(missing).toEqual([]);
    const result = await send(at, 'POST', `/samples/${sample}/sign-off`, { order: 1 });
    expect(result).toMatchObject({ signedOff: { by: 'Ana' } });
    await killed();
    expect((await send(at, 'GET', `/samples/${sample}/results`)).results).toEqual([result]);
    expect(readdirSync(data)).not.toContain('uploads');
    expect(await at.end('SIGTERM')).toBe(0);
  });
});

describe('veligrid serve', () => {
  it(
    'refuses to be reached from elsewhere without accounts, with exit code 2 and what to do',
    { timeout: 300_000 },
    async () => {
      await expect(start('--host', '0.0.0.0')).rejects.toThrow(/^exit 2: Beyond this machine people must sign in/);
      await expect(start('--tls-cert', 'cert.pem')).rejects.toThrow(/^exit 2: Give both --tls-cert and --tls-key/);
      await expect(start('--port', 'x')).rejects.toThrow(/^exit 2/);
    },
  );

  it(
    'makes the first manager by the code it prints, and then may be reached from elsewhere',
    { timeout: 300_000 },
    async () => {
      const own = join(folder, 'accounts');
      let at = await serve('--data', own, '--accounts');
      running.push(at);
      await expect.poll(() => at.output()).toMatch(/code, which works once: \S+/);
      const code = /which works once: (\S+)/.exec(at.output())?.[1];
      expect(await send(at, 'GET', '/session')).toMatchObject({ needsFirstManager: true, demo: false });
      const manager = { code, name: 'Rosa', password: 'the tide is out' };
      expect(await send(at, 'POST', '/first-manager', manager)).toMatchObject({ who: 'Rosa', role: 'manager' });
      expect(await at.end('SIGINT')).toBe(0);
      await expect(serve('--data', own, '--host', '0.0.0.0')).rejects.toThrow(/^exit 2: .*must be encrypted/);
      at = await serve('--data', own, '--host', '0.0.0.0', '--plain-http');
      running.push(at);
      await expect.poll(() => at.output()).toContain('passwords can be read on this network');
      expect(await send(at, 'GET', '/session')).toMatchObject({
        who: null,
        role: null,
        way: 'accounts',
        needsFirstManager: false,
      });
      expect(await send(at, 'GET', '/tanks')).toMatchObject({ status: 401 });
      expect(await send(at, 'POST', '/session', { name: 'Rosa', password: 'the tide is out' })).toMatchObject({
        who: 'Rosa',
      });
      expect(await at.end('SIGTERM')).toBe(0);
    },
  );
});
