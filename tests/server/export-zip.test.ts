import { execFile } from 'node:child_process';
import { mkdtempSync, writeFileSync } from 'node:fs';
import { readdir } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BASE } from '@veligrid/api';
import { directory, localHeader, type ZipEntry } from '../../apps/server/src/takeaway/zip-records.js';
import { begin, photoForm, smallPhoto, startTestServer, type TestServer } from './support.ts';

let at: TestServer;
const cookie = 'veligrid-name=Ana';

beforeAll(async () => {
  at = await startTestServer();
  await at.send('POST', `${BASE}/entries/batch`, { cookie, json: { fields: { batch: '=1+1 "Añil"', note: 'x' } } });
  const sample = await begin(at);
  const form = photoForm({ 'one.png': await smallPhoto(20) });
  await at.send('POST', `${BASE}/samples/${sample}/photos`, { cookie, form });
});
afterAll(() => at.close());

interface Listed {
  readonly bad: string | null;
  readonly names: string[];
  readonly batch: string;
  readonly described: { readonly description: string };
}

/** Runs beside the server of this process, which goes on answering. */
const python = async (program: string, file: string): Promise<string> =>
  (await promisify(execFile)('python3', ['-c', program, file])).stdout;

/** An archive as Python's own zipfile module reads it, check sums and all: the reader from outside. */
async function readByPython(bytes: Uint8Array): Promise<Listed> {
  const file = join(mkdtempSync(join(tmpdir(), 'veligrid-zip-')), 'export.zip');
  writeFileSync(file, bytes);
  const program = `
import json, sys, zipfile
z = zipfile.ZipFile(sys.argv[1])
print(json.dumps({'bad': z.testzip(), 'names': z.namelist(), 'batch': z.read('data/batch.csv').decode(),
  'described': json.loads(z.read('datapackage.json'))}))`;
  return JSON.parse(await python(program, file)) as Listed;
}

async function downloaded(query: string): Promise<Listed> {
  const answer = await fetch(`${at.url}${BASE}/export.zip${query}`, {
    headers: { cookie, 'sec-fetch-site': 'same-origin' },
  });
  expect([answer.status, answer.headers.get('content-type')]).toEqual([200, 'application/zip']);
  expect(answer.headers.get('content-disposition')).toMatch(/veligrid-\d{4}-\d\d-\d\d\.zip/);
  return readByPython(new Uint8Array(await answer.arrayBuffer()));
}

describe('everything as one file', () => {
  it('is an archive that others read, with every table, its description and a workbook', async () => {
    const { bad, names, batch, described } = await downloaded('');
    expect(bad).toBeNull();
    expect(names).toEqual(expect.arrayContaining(['data/move.csv', 'datapackage.json', 'for-people.xlsx']));
    expect(names.filter((name) => name.startsWith('pictures/'))).toEqual([]);
    expect(batch).toContain('Añil');
    expect(described.description).toContain('The pictures were left out.');
  });

  it('takes the pictures along when asked to', async () => {
    const { bad, names } = await downloaded('?pictures=yes');
    expect(bad).toBeNull();
    expect(names.filter((name) => name.startsWith('pictures/')).length).toBe(1);
  });

  it('leaves nothing behind in the hatchery', async () => {
    const left = async () => (await readdir(at.house.uploadFolder)).filter((name) => name.startsWith('export-'));
    // it is cleared after the answer has ended
    await expect.poll(left).toEqual([]);
  });

  it('is for managers', async () => {
    const locked = await startTestServer({ accountsWanted: true });
    const counter = await locked.signedIn('counter');
    expect((await locked.send('GET', `${BASE}/export.zip`, { cookie: counter })).status).toBe(403);
    await locked.close();
  });
});

describe('records of an archive', () => {
  const entry = (name: string, more: Partial<ZipEntry> = {}): ZipEntry => ({
    name,
    crc32: 0,
    size: 0,
    packedSize: 0,
    deflated: false,
    offset: 0,
    ...more,
  });

  it('of more than 4 GB keep their sizes in the ZIP64 field (APPNOTE 4.5.3)', () => {
    const size = 5_000_000_000;
    const header = localHeader(entry('a', { size, packedSize: size }));
    // 30 bytes and the name, then tag 1, length 16, both sizes
    expect([header.readUInt32LE(18), header.readUInt32LE(22)]).toEqual([0xffff_ffff, 0xffff_ffff]);
    expect([header.readUInt16LE(31), header.readUInt16LE(33)]).toEqual([1, 16]);
    expect([header.readBigUInt64LE(35), header.readBigUInt64LE(43)]).toEqual([BigInt(size), BigInt(size)]);
  });

  it('of more than 65,535 files are read by others', async () => {
    const names = Array.from({ length: 70_000 }, (_, i) => `pictures/${i}`);
    const headers: Buffer[] = [];
    const entries: ZipEntry[] = [];
    let offset = 0;
    for (const name of names) {
      const one = entry(name, { offset });
      const header = localHeader(one);
      headers.push(header);
      entries.push(one);
      offset += header.length;
    }
    const file = join(mkdtempSync(join(tmpdir(), 'veligrid-zip-')), 'many.zip');
    writeFileSync(file, Buffer.concat([...headers, directory(entries, offset)]));
    const program = 'import sys, zipfile; print(len(zipfile.ZipFile(sys.argv[1]).namelist()))';
    expect((await python(program, file)).trim()).toBe('70000');
  });
});
