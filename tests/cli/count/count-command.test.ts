import { mkdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { beforeAll, describe, expect, it } from 'vitest';
import type { PhotoCount } from '@veligrid/model';
import { blackPng } from '../../imaging/photo/pictures.js';
import { filesBelow, newFolder, veligrid, writePhoto } from '../support/shell.js';

let folder = '';
const at = (...parts: string[]): string => join(folder, ...parts);
const count = (path: string): PhotoCount => JSON.parse(readFileSync(path, 'utf8')) as PhotoCount;

beforeAll(async () => {
  folder = newFolder();
  for (const name of ['a-slow.jpg', 'b.png', 'day2/c.webp', 'day2/b.png', 'IMG_1.jpg', 'IMG_1.png']) {
    await writePhoto(at('photos', name));
  }
  await writePhoto(at('photos', 'stack.tif'), 1);
  writeFileSync(at('photos', 'notes.txt'), 'tank 4');
});

describe('veligrid count', () => {
  it('writes the same bytes whatever the number of threads, and a table that is not signed off', () => {
    const runs = ['1', '3'].map((threads) => {
      const out = at(`out-${threads}`);
      return { out, answer: veligrid('count', at('photos'), '--out', out, '--overlay', '--csv', '--threads', threads) };
    });
    for (const { answer } of runs) expect(answer).toMatchObject({ code: 0, err: '' });
    const [one, three] = runs.map(({ out }) => filesBelow(out));
    expect([...(one?.keys() ?? [])]).toEqual([
      'IMG_1.jpg.json',
      'IMG_1.jpg.overlay.jpg',
      'IMG_1.png.json',
      'IMG_1.png.overlay.jpg',
      'a-slow.json',
      'a-slow.overlay.jpg',
      'b.json',
      'b.overlay.jpg',
      'day2/b.json',
      'day2/b.overlay.jpg',
      'day2/c.json',
      'day2/c.overlay.jpg',
      'detections.csv',
      'stack.json',
      'stack.overlay.jpg',
    ]);
    expect(three).toEqual(one);
    const { out } = runs[0]?.answer ?? { out: '' };
    expect(out).toMatch(/^NOT SIGNED OFF/);
    expect(out).toMatch(/^a-slow\.jpg +1 +1 +0\.0 +1 +1 \(1 cut\) +61\.0 +61\.0 +61\.0-61\.0 +3\.0000 +given +0$/m);
    expect(out).toContain('In area by the rule centroid: an object belongs where its centroid lies.');
    expect(out).toContain('fields-not-random: These fields were not drawn before anybody looked.');
    expect(out).toContain(`Overlay pictures to check by eye: ${at('out-1', '*.overlay.jpg')}`);
    expect(count(at('out-1', 'day2', 'c.json')).photo).toBe('day2/c.webp');
  });

  it('flags photos of fields that were not drawn, and names drawn fields without photo', async () => {
    const plan = at('cell', 'fields.json');
    expect(veligrid('fields', '--photos', '3', '--seed', '6', '--out', at('cell')).code).toBe(0);
    for (const name of ['field-01.jpg', 'field-3.jpg', 'other.jpg']) await writePhoto(at('cell', 'photos', name));
    const { code, out, err } = veligrid('count', at('cell', 'photos'), '--out', at('cell', 'out'), '--fields', plan);
    expect(code).toBe(0);
    expect(err).toContain('No photo of the drawn fields 02.');
    expect(out).toContain('fields-not-random: 1 of these fields were not drawn before anybody looked.');
    const flags = ['field-01', 'field-3', 'other'].map((name) => count(at('cell', 'out', `${name}.json`)).counting);
    expect(flags.map(({ drawnField }) => drawnField)).toEqual(['01', '03', null]);
    expect(flags.map(({ flags: own }) => own)).toEqual([[], [], ['fields-not-random']]);
    expect(veligrid('fields', '--photos', '3', '--out', at('cell'))).toMatchObject({ code: 4 });
    expect(veligrid('fields', '--photos', '1001', '--out', at('cell2'))).toMatchObject({ code: 2 });
  });

  it('does the others when photos are bad, and names each with its reason', async () => {
    const bad = at('bad');
    await writePhoto(join(bad, 'good.jpg'));
    const jpeg = await sharp(join(bad, 'good.jpg')).jpeg().toBuffer();
    writeFileSync(join(bad, 'empty.jpg'), '');
    writeFileSync(join(bad, 'text.jpg'), 'Tank 4: 83 larvae, day 12');
    writeFileSync(join(bad, 'short.jpg'), jpeg.subarray(0, jpeg.length / 2));
    writeFileSync(join(bad, 'bomb.png'), blackPng(20_000, 20_000));
    await sharp(Buffer.alloc(3), { raw: { width: 1, height: 1, channels: 3 } }).toFile(join(bad, 'dot.png'));
    symlinkSync(join(bad, 'gone'), join(bad, 'link.jpg'));
    const answer = veligrid('count', bad, '--out', at('out-bad'));
    expect(answer.code).toBe(3);
    expect(answer.err.trimEnd().split('\n')).toEqual([
      expect.stringMatching(/^bomb\.png is 20000 x 20000 px, over the limit/),
      expect.stringMatching(/^dot\.png is 1 x 1 px, too small/),
      expect.stringMatching(/^empty\.jpg is empty/),
      expect.stringMatching(/^link\.jpg does not exist/),
      expect.stringMatching(/^short\.jpg is damaged or cut short/),
      expect.stringMatching(/^text\.jpg is not a photo/),
    ]);
    expect([...filesBelow(at('out-bad')).keys()]).toEqual(['good.json']);
    expect(answer.out).toContain('good.jpg');
  });

  it.each(['1', '2'])('loses one photo to each crash, says why, and answers 1 (%s threads)', async (threads) => {
    const names = ['1.jpg', 'exit.jpg', 'fault.jpg', 'throw.jpg', 'z.jpg'];
    for (const name of names) await writePhoto(at('crash', name));
    const answer = veligrid('count', at('crash'), '--out', at(`out-crash-${threads}`), '--threads', threads);
    expect(answer.code).toBe(1);
    expect(answer.err.trimEnd().split('\n')).toEqual([
      'exit.jpg was not counted: the worker that had it stopped (exit 9). Run it again alone, or at a smaller size.',
      'fault.jpg met a fault of Veligrid: TypeError: outline is not a list',
      'throw.jpg was not counted: the worker that had it stopped (out of memory). Run it again alone, or at a smaller size.',
    ]);
    expect([...filesBelow(at(`out-crash-${threads}`)).keys()]).toEqual(['1.json', 'z.json']);
  });

  it('answers 5 when results can not be written, before counting or after', async () => {
    writeFileSync(at('file'), '');
    const before = veligrid('count', at('photos'), '--out', at('file', 'below'));
    expect(before).toMatchObject({ code: 5, out: '' });
    expect(before.err).toMatch(
      /could not be written: a part of that path is a file, not a folder\. Name another folder/,
    );
    // a folder where a result should go
    mkdirSync(at('out-blocked', 'b.json', 'x'), { recursive: true });
    await writePhoto(at('two', 'b.png'));
    await writePhoto(at('two', 'c.png'));
    const after = veligrid('count', at('two'), '--out', at('out-blocked'));
    expect(after.code).toBe(5);
    expect(after.err).toMatch(/b\.json could not be written: a folder of that name is in the way/);
    expect(after.out).toContain('c.png');
  });

  it('warns of a picture of nothing and still answers 0', async () => {
    mkdirSync(at('blank'));
    for (const [name, level] of [
      ['black.png', 0],
      ['white.png', 255],
    ] as const) {
      const picture = Buffer.alloc(60 * 60 * 3, level);
      await sharp(picture, { raw: { width: 60, height: 60, channels: 3 } }).toFile(at('blank', name));
    }
    const answer = veligrid('count', at('blank'), '--out', at('out-blank'));
    expect(answer.code).toBe(0);
    expect(answer.out).toContain('Warning, black.png: The picture is black all over');
    expect(answer.out).toContain('Warning, white.png: The picture is white all over');
  });

  it('writes one file a page of a file with more', () => {
    // written by tifffile, see tests/imaging/photo/reference/make-tiffs.py
    const stack = new URL('../../imaging/photo/reference/three-pages.tif', import.meta.url);
    writeFileSync(at('three.tif'), readFileSync(stack));
    const answer = veligrid('count', at('three.tif'), '--out', at('out-pages'), '--overlay');
    expect(answer.code).toBe(0);
    expect([...filesBelow(at('out-pages')).keys()]).toEqual(
      [1, 2, 3].flatMap((page) => [`three-p${String(page)}.json`, `three-p${String(page)}.overlay.jpg`]),
    );
    expect(count(at('out-pages', 'three-p2.json')).detections).toHaveLength(4);
    expect(answer.out).toContain('three.tif page 3');
  });

  it('reads a TIFF of real numbers in a worker thread', () => {
    const real = new URL('../../imaging/photo/reference/real.tif', import.meta.url);
    writeFileSync(at('real.tif'), readFileSync(real));
    expect(veligrid('count', at('real.tif'), '--out', at('out-real'))).toMatchObject({ code: 0, err: '' });
  });

  it('answers 2 with nothing to count', () => {
    mkdirSync(at('hollow'));
    expect(veligrid('count', at('hollow'), '--out', at('out-2'))).toMatchObject({
      code: 2,
      err: `No photo found in ${at('hollow')}. Name photos, or folders with JPEG, PNG, TIFF, WebP or BMP photos.\n`,
    });
    expect(veligrid('count', at('nowhere'), '--out', at('out-2'))).toMatchObject({
      code: 2,
      err: `${at('nowhere')} does not exist. Check the path.\n`,
    });
  });

  it('does what it can when one of the paths does not exist, and answers 3', () => {
    const answer = veligrid('count', at('nowhere'), at('photos', 'b.png'), '--out', at('out-part'));
    expect(answer).toMatchObject({ code: 3, err: `${at('nowhere')} does not exist. Check the path.\n` });
    expect([...filesBelow(at('out-part')).keys()]).toEqual(['b.json']);
  });
});
