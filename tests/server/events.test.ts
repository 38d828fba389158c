import { afterEach, describe, expect, it } from 'vitest';
import { BASE } from '@veligrid/api';
import { asAna, begin, photoForm, smallPhoto, startTestServer, type Got, type TestServer } from './support.ts';

let server: TestServer | null = null;
async function start(): Promise<TestServer> {
  server = await startTestServer();
  return server;
}
afterEach(async () => {
  await server?.close();
  server = null;
});

const upload = (at: TestServer, sample: string, form: FormData): Promise<Got> =>
  at.send('POST', `${BASE}/samples/${sample}/photos`, { cookie: asAna, form });

describe('events of a sample', () => {
  it('begin with the state of every photo and tell what changes', async () => {
    const at = await start();
    const sample = await begin(at);
    await upload(at, sample, photoForm({ 'a.png': await smallPhoto(1) }));
    const stop = new AbortController();
    const answer = await fetch(`${at.url}${BASE}/samples/${sample}/events`, { signal: stop.signal });
    expect(answer.headers.get('Content-Type')).toBe('text/event-stream; charset=utf-8');
    expect(answer.headers.get('Content-Encoding')).toBeNull();
    let text = '';
    const reading = (async () => {
      for await (const chunk of answer.body ?? []) text += Buffer.from(chunk as Uint8Array).toString();
    })().catch(() => undefined);
    const until = async (wanted: RegExp): Promise<void> => {
      await expect.poll(() => text, { timeout: 10_000 }).toMatch(wanted);
    };
    await until(/event: photo\ndata: \{.*"name":"a.png".*"state":"waiting"/);
    await until(/event: sample\ndata: \{"revision":1,"state":"open"\}/);
    const job = await at.house.store.jobs.claim('test', ['count-photo'], 60_000);
    await until(/"state":"counting"/);
    await at.house.store.jobs.progress({ id: job?.id ?? '', attempt: 1 }, 0.5, 60_000);
    await until(/event: progress\ndata: \{"photo":".*","done":0.5\}/);
    await at.house.store.jobs.cancel(job?.id ?? '');
    await until(/"state":"cancelled"/);
    stop.abort();
    await reading;
  });

  it('are refused for a sample that is not there', async () => {
    const at = await start();
    expect((await at.send('GET', `${BASE}/samples/none/events`)).json).toMatchObject({ status: 404 });
  });
});
