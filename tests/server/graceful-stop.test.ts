import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, it } from 'vitest';
import { BASE } from '@veligrid/api';
import { backupNames, openStore } from '@veligrid/storage';
import { newSample, photoForm } from './support.ts';
import { serve } from './running-program.ts';

const folder = mkdtempSync(join(tmpdir(), 'veligrid-stop-'));
afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

const slide = readFileSync(join(import.meta.dirname, '../../sample-images/drawn/umbo_04.jpg'));

it('a server told to end while it counts hands the photo back and ends well', { timeout: 300_000 }, async () => {
  const [data, backups] = [join(folder, 'hatchery'), join(folder, 'backups')];
  const program = await serve('--data', data, '--threads', '1', '--backup-to', backups, '--keep', '2');
  const headers = { 'Sec-Fetch-Site': 'same-origin', Cookie: 'veligrid-name=Ana' };
  const post = async (path: string, body: string | FormData): Promise<any> => {
    const type = typeof body === 'string' ? { 'Content-Type': 'application/json' } : {};
    const answer = await fetch(`${program.url}${BASE}${path}`, {
      method: 'POST',
      headers: { ...headers, ...type },
      body,
    });
    return answer.json();
  };
  const tank = (await post('/tanks', JSON.stringify({ name: '7' }))).id as string;
  const sample = (await post('/samples', JSON.stringify(newSample(tank)))).id as string;
  const { photos } = (await post(`/samples/${sample}/photos`, photoForm({ 'one.jpg': slide }))) as {
    photos: { id: string }[];
  };
  const state = async (): Promise<string> =>
    ((await (await fetch(`${program.url}${BASE}/photos/${photos[0].id}`, { headers })).json()) as { state: string })
      .state;
  await expect.poll(state, { timeout: 120_000, interval: 20 }).toBe('counting');
  expect((await fetch(`${program.url}/readyz`)).status).toBe(200);
  const meters = await (await fetch(`${program.url}/metrics`)).text();
  expect(meters).toContain('veligrid_step_seconds_count{step="wait"} 1\n');
  expect(meters).toMatch(/^process_resident_memory_bytes \d/m);
  expect(await program.end('SIGTERM')).toBe(0);
  // one was due at once
  expect((await backupNames(backups)).whole).toHaveLength(1);

  const store = await openStore(data);
  const [job] = await store.jobs.list({ subjects: [photos[0].id] });
  expect(job).toMatchObject({ state: 'waiting', worker: null, leaseUntil: null, attempts: 1 });
  expect(await store.check()).toEqual([]);
  await store.close();
});
