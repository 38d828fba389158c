import { readdirSync } from 'node:fs';
import { connect, type Socket } from 'node:net';
import { setTimeout } from 'node:timers/promises';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BASE } from '@veligrid/api';
import { newSample, smallPhoto, startTestServer, type TestServer } from './support.ts';

const STILL_MS = 800;
const BOUNDARY = 'veligrid-test';

let at: TestServer;
let path: string;

beforeAll(async () => {
  at = await startTestServer({ stillMs: STILL_MS });
  const cookie = 'veligrid-name=Ana';
  const tank = await at.send('POST', `${BASE}/tanks`, { cookie, json: { name: 'Tank 1' } });
  const { id } = tank.json as { id: string };
  const sample = await at.send('POST', `${BASE}/samples`, { cookie, json: newSample(id, 1) });
  path = `${BASE}/samples/${(sample.json as { id: string }).id}/photos`;
});
afterAll(() => at.close());

const left = (): string[] => readdirSync(at.house.uploadFolder);

interface Sending {
  readonly socket: Socket;
  /** What came back until the connection ended. */
  readonly told: Promise<string>;
}

/** Opens a connection and sends the head of an upload of so many bytes. */
function begin(length: number): Sending {
  const { hostname, port } = new URL(at.url);
  const socket = connect(Number(port), hostname);
  const told = new Promise<string>((resolve) => {
    let text = '';
    socket.on('data', (chunk: Buffer) => (text += chunk.toString('latin1')));
    socket.on('error', () => undefined);
    socket.on('close', () => {
      resolve(text);
    });
  });
  const head = [
    `POST ${path} HTTP/1.1`,
    `Host: ${hostname}:${port}`,
    'Cookie: veligrid-name=Ana',
    'Sec-Fetch-Site: same-origin',
    'Connection: close',
    `Content-Type: multipart/form-data; boundary=${BOUNDARY}`,
    `Content-Length: ${String(length)}`,
  ];
  socket.write(`${head.join('\r\n')}\r\n\r\n`);
  return { socket, told };
}

async function form(seed: number): Promise<Buffer> {
  const head = `--${BOUNDARY}\r\nContent-Disposition: form-data; name="photos"; filename="a${String(seed)}.png"\r\nContent-Type: image/png\r\n\r\n`;
  return Buffer.concat([Buffer.from(head), await smallPhoto(seed), Buffer.from(`\r\n--${BOUNDARY}--\r\n`)]);
}

describe('an upload', () => {
  it('may be slow, as long as something comes', async () => {
    const body = await form(1);
    const { socket, told } = begin(body.length);
    const parts = 8;
    const size = Math.ceil(body.length / parts);
    for (let i = 0; i < parts; i += 1) {
      socket.write(body.subarray(i * size, (i + 1) * size));
      await setTimeout(STILL_MS / 4);
    }
    expect(await told).toContain('HTTP/1.1 201');
    expect(left()).toEqual([]);
  });

  it('that stands still is given up with what came of it, and others are answered meanwhile', async () => {
    const body = await form(2);
    const stalled = Array.from({ length: 20 }, () => begin(body.length));
    for (const { socket } of stalled) socket.write(body.subarray(0, body.length - 30));
    await setTimeout(STILL_MS / 4);
    expect((await at.send('GET', `${BASE}/tanks`)).status).toBe(200);
    const began = Date.now();
    await Promise.all(stalled.map(({ told }) => told));
    expect(Date.now() - began).toBeLessThan(20 * STILL_MS);
    await expect.poll(left).toEqual([]);
  });

  it('that is cut leaves nothing behind', async () => {
    const body = await form(3);
    const { socket, told } = begin(body.length);
    socket.write(body.subarray(0, body.length / 2));
    await setTimeout(STILL_MS / 4);
    socket.destroy();
    await told;
    await expect.poll(left).toEqual([]);
    expect(at.faults).toEqual([]);
  });

  it('that says it is huge is refused when it gets there, and nothing of it stays', async () => {
    const { socket, told } = begin(10 ** 12);
    const head = (await form(4)).subarray(0, 120);
    socket.write(head);
    const chunk = Buffer.alloc(1_000_000, 7);
    let open = true;
    void told.then(() => (open = false));
    for (let i = 0; open && i < 60; i += 1) {
      if (!socket.write(chunk)) await Promise.race([new Promise((resolve) => socket.once('drain', resolve)), told]);
    }
    expect(await told).toMatch(/HTTP\/1.1 413|^$/);
    await expect.poll(left).toEqual([]);
  });
});
