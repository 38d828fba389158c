import { existsSync, mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { drawFields } from '@veligrid/estimation';
import { fieldMap } from '../../../apps/cli/src/fields/field-map.js';
import { fieldText } from '../../../apps/cli/src/fields/field-text.js';
import { fieldsCommand } from '../../../apps/cli/src/fields/fields-command.js';
import { fieldOfPhoto, readPlan } from '../../../apps/cli/src/fields/read-plan.js';

const drawnAt = '2026-05-04T08:00:00.000Z';
const draw = (photos: number, seed: number, unit: 'squares' | 'strips' = 'squares'): ReturnType<typeof drawFields> =>
  drawFields({ cell: 'sedgwick-rafter', photos, seed, unit, drawnAt });

describe('drawing fields', () => {
  it('draws each once, in the order of the way to and fro, the same for the same seed', () => {
    const plan = draw(60, 4);
    expect(plan).toEqual(draw(60, 4));
    expect(plan.fields).not.toEqual(draw(60, 5).fields);
    expect(new Set(plan.fields.map(({ name }) => name)).size).toBe(60);
    for (const [k, { column, row }] of plan.fields.entries()) {
      const after = plan.fields[k + 1] ?? { column: null, row: 99 };
      expect(row).toBeLessThanOrEqual(after.row);
      if (row === after.row)
        expect(((after.column ?? 0) - (column ?? 0)) * (row % 2 === 1 ? 1 : -1)).toBeGreaterThan(0);
    }
  });

  it('takes every square when all are wanted, and every strip', () => {
    const names = new Set(draw(1000, 1).fields.map(({ name }) => name));
    expect(names.size).toBe(1000);
    expect(names.has('A1') && names.has('Z20') && names.has('AA1') && names.has('AX20')).toBe(true);
    expect(draw(20, 1, 'strips').fields.map(({ row }) => row)).toEqual(Array.from({ length: 20 }, (_, k) => k + 1));
  });

  it('gives every square the same chance', () => {
    const counts = new Map<string, number>();
    for (let seed = 0; seed < 2000; seed++) {
      for (const { name } of draw(50, seed).fields) counts.set(name, (counts.get(name) ?? 0) + 1);
    }
    // 2000 draws of 50 in 1000: mean 100, variance 95; chi squared on 999 degrees of freedom lies below 1144 in 99.9 %
    const chi2 = [...counts.values()].reduce((sum, count) => sum + (count - 100) ** 2 / 95, 0) * (999 / 1000);
    expect(counts.size).toBe(1000);
    expect(chi2).toBeLessThan(1144);
    expect(chi2).toBeGreaterThan(865);
  });

  it('refuses more than there are, and seeds that are none', () => {
    expect(() => draw(1001, 1)).toThrow('Expected photos to be a whole number from 1 to 1000, the squares of the cell');
    expect(() => draw(21, 1, 'strips')).toThrow('from 1 to 20, the strips of the cell');
    expect(() => draw(5, -1)).toThrow('Expected seed to be a whole number from 0 to 4294967295, but got -1');
    expect(() => draw(5, Number.NaN)).toThrow('seed');
  });
});

describe('list and map', () => {
  const plan = draw(12, 8);

  it('show every field at its place in letters', () => {
    const lines = fieldText(plan).split('\n');
    const heads = lines.findIndex((line) => line.startsWith('     A  B  C'));
    for (const { number, name, column, row } of plan.fields) {
      expect(
        lines.some((line) => new RegExp(`^ *${number}  ${name} +${String(column)} +${String(row)}$`).test(line)),
      ).toBe(true);
      expect(lines[heads + row]?.slice(4 + 3 * ((column ?? 0) - 1), 6 + 3 * ((column ?? 0) - 1))).toBe(number);
    }
    expect(
      lines
        .slice(heads + 1, heads + 21)
        .join('')
        .match(/\d\d/g)?.length,
    ).toBeGreaterThanOrEqual(12);
  });

  it('show every field at its place on the page to print, with nothing from outside', () => {
    const page = fieldMap(plan);
    for (const { number, column, row } of plan.fields) {
      const [x, y] = [30 + 20 * ((column ?? 0) - 1), 30 + 20 * (row - 1)];
      expect(page).toContain(
        `<rect class="field" x="${String(x)}" y="${String(y)}" width="20" height="20"/><text class="number" x="${String(x + 10)}" y="${String(y + 14)}">${number}</text>`,
      );
    }
    expect(page.match(/<rect/g)?.length).toBe(12);
    expect(page).toContain('seed 8');
    expect(page).not.toMatch(/<script|src=|href=|url\(/);
  });
});

describe('veligrid fields', () => {
  it('writes plan and map once, and never draws a second time', async () => {
    const out = mkdtempSync(join(tmpdir(), 'fields-'));
    let text = '';
    const console = { out: (more: string) => void (text += more), err: () => undefined, errIsTerminal: false };
    const chance = { now: () => new Date(drawnAt), seed: () => 77 };
    const args = { cell: 'sedgwick-rafter', photos: 7, unit: 'squares', out } as const;
    expect(await fieldsCommand(args, console, chance)).toBe(0);
    const plan: unknown = JSON.parse(readFileSync(join(out, 'fields.json'), 'utf8'));
    expect(plan).toEqual(draw(7, 77));
    expect(existsSync(join(out, 'fields.html'))).toBe(true);
    expect(text).toContain('seed 77');
    await expect(fieldsCommand(args, console, chance)).rejects.toMatchObject({ code: 'refused' });
  });
});

describe('the photo of a field', () => {
  const plan = [
    { number: '01', photo: null },
    { number: '02', photo: 'IMG_7.jpg' },
    { number: '12', photo: null },
  ];

  it.each([
    ['field-01.jpg', '01'],
    ['day4/Tank3 field 1b.jpg', '01'],
    ['FIELD_012.png', '12'],
    ['cell/IMG_7.jpg', '02'],
    ['field-2.jpg', '02'],
    ['field-13.jpg', null],
    ['field-123.jpg', null],
    ['afield-1.jpg', null],
    ['IMG_1.jpg', null],
  ])('%s: %s', (photo, number) => {
    expect(fieldOfPhoto(plan, photo)).toBe(number);
  });

  it('comes from a plan, and from nothing else', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'plan-'));
    const path = join(folder, 'fields.json');
    writeFileSync(path, JSON.stringify(draw(3, 1)));
    expect(await readPlan(path)).toEqual(['01', '02', '03'].map((number) => ({ number, photo: null })));
    for (const [text, reason] of [
      ['no', 'is not JSON'],
      ['{"fields": []}', 'is not a plan'],
      ['{"fields": [{"number": 1}]}', 'is not a plan'],
      ['[]', 'is not a plan'],
    ] as const) {
      writeFileSync(path, text);
      await expect(readPlan(path)).rejects.toThrow(reason);
    }
    await expect(readPlan(join(folder, 'none.json'))).rejects.toThrow('could not be read (ENOENT)');
  });
});
