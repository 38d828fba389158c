import { execFileSync } from 'node:child_process';
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { exportStore, importStore, openStore } from '@veligrid/storage';
import { beforeAll, describe, expect, it } from 'vitest';
import { everyRow } from './every-row.js';
import { newFolder } from './new-folder.js';
import { AWKWARD, fullStore } from './full-store.js';

interface Described {
  readonly profile: string;
  readonly resources: {
    readonly name: string;
    readonly path: string;
    readonly schema: { readonly fields: { readonly name: string; readonly type: string; readonly unit?: string }[] };
  }[];
}

let folder = '';
let out = '';

beforeAll(async () => {
  folder = await fullStore();
  out = join(newFolder(), 'export');
  await exportStore(folder, out, { withPasswords: true });
});

/** All tables of an export by file, read by Python's own csv module as the reader from outside. */
function readByPython(): Record<string, string[][]> {
  const program = `
import csv, json, pathlib, sys
csv.field_size_limit(10**9)
print(json.dumps({p.name: list(csv.reader(open(p, newline='', encoding='utf-8')))
  for p in pathlib.Path(sys.argv[1]).iterdir()}))`;
  return JSON.parse(execFileSync('python3', ['-c', program, join(out, 'data')]).toString()) as Record<
    string,
    string[][]
  >;
}

describe('an export', () => {
  it('comes back as the same store, row by row', async () => {
    const back = join(newFolder(), 'store');
    await importStore(out, back);
    expect(everyRow(back)).toEqual(everyRow(folder));
    const store = await openStore(back, { create: false });
    expect(await store.check()).toEqual([]);
    await store.close();
  });

  it('holds neither passwords nor sign-ins unless asked to, and all else comes back', async () => {
    const without = join(newFolder(), 'export');
    await exportStore(folder, without);
    for (const file of readdirSync(without, { recursive: true, withFileTypes: true })) {
      if (file.isFile()) expect(readFileSync(join(file.parentPath, file.name), 'latin1')).not.toContain('scrypt$1');
    }
    const back = join(newFolder(), 'store');
    await importStore(without, back);
    const { staff = [], access_token: tokens = [], ...rest } = everyRow(folder);
    const hidden = staff.map((row) => ({ ...(row as object), password_hash: null }));
    const ended = tokens.map((row) => ({ ...(row as object), token_hash: null }));
    expect(everyRow(back)).toEqual({ ...rest, staff: hidden, access_token: ended, sign_in: [] });
  });

  it('describes every file and column, with units (Frictionless Tabular Data Package 1)', () => {
    const described = JSON.parse(readFileSync(join(out, 'datapackage.json'), 'utf8')) as Described;
    expect(described.profile).toBe('tabular-data-package');
    const files = readdirSync(join(out, 'data')).map((name) => `data/${name}`);
    expect(described.resources.map(({ path }) => path).toSorted()).toEqual(files.toSorted());
    const tables = readByPython();
    for (const { name, path, schema } of described.resources) {
      // resource names of the standard: lower case letters, digits, - _ . and no others
      expect(name).toMatch(/^[-a-z0-9._]+$/);
      expect(tables[path.replace('data/', '')][0]).toEqual(schema.fields.map((field) => field.name));
    }
    const larvae = described.resources.find(({ name }) => name === 'larvae')?.schema.fields ?? [];
    expect(larvae.find(({ name }) => name === 'length_um')).toMatchObject({ type: 'number', unit: 'um' });
  });

  it('keeps names of tanks as they are for programs', () => {
    const [header = [], ...tanks] = readByPython()['tank.csv'];
    const names = tanks.map((row) => row[header.indexOf('name')]);
    expect(names.slice(0, AWKWARD.length)).toEqual(AWKWARD);
    expect(tanks[0]?.[header.indexOf('volume_ml')]).toBe('1234.5');
  });

  it('has a workbook for people with names as text cells', () => {
    // read as the zip of XML files that it is (ECMA-376), by Python's own modules
    const program = `
import json, sys, zipfile, xml.etree.ElementTree as X
z = zipfile.ZipFile(sys.argv[1]); n = '{http://schemas.openxmlformats.org/spreadsheetml/2006/main}'
shared = [''.join(t.text or '' for t in s.iter(n + 't')) for s in X.fromstring(z.read('xl/sharedStrings.xml'))]
sheet = X.fromstring(z.read('xl/worksheets/sheet3.xml'))
print(json.dumps([[c.get('t'), shared[int(c.find(n + 'v').text)] if c.get('t') == 's' else c.find(n + 'v').text]
  for r in list(sheet.iter(n + 'row'))[1:] for c in list(r)[:1]]))`;
    const read = execFileSync('python3', ['-c', program, join(out, 'for-people.xlsx')]).toString();
    const cells = (JSON.parse(read) as unknown[]).slice(0, AWKWARD.length);
    expect(cells).toEqual(AWKWARD.map((name) => ['s', name.replace('\r\n', '\n')]));
  });

  it('is refused by a folder that holds something, and by a store that is not there', async () => {
    const full = newFolder();
    writeFileSync(join(full, 'mine.txt'), 'mine');
    await expect(exportStore(folder, full)).rejects.toThrow('is not empty');
    await expect(importStore(out, full)).rejects.toThrow('is not empty');
    await expect(exportStore(full, newFolder())).rejects.toThrow('There is no store in');
    await expect(importStore(full, newFolder())).rejects.toThrow('holds no datapackage.json');
    expect(readdirSync(full)).toEqual(['mine.txt']);
  });

  it('that was changed by hand is refused, and leaves no store behind', async () => {
    const cases: [file: string, from: string, to: string, message: string][] = [
      ['larvae.csv', '71.25', '99.25', 'is not what was exported'],
      ['tank.csv', '1234.5', 'lots', 'Expected volumeMl of tank to be a number above 0'],
      ['sample.csv', 'eastern-oyster', '"eastern', 'is not a valid CSV'],
    ];
    for (const [file, from, to, message] of cases) {
      const changed = join(newFolder(), 'export');
      await exportStore(folder, changed);
      const path = join(changed, 'data', file);
      writeFileSync(path, readFileSync(path, 'utf8').replace(from, to));
      const back = join(newFolder(), 'store');
      await expect(importStore(changed, back)).rejects.toThrow(message);
      expect(readdirSync(back)).not.toContain('veligrid.sqlite');
    }
  });
});
