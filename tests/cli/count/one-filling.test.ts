import { spawnSync } from 'node:child_process';
import { copyFileSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { beforeAll, describe, expect, it } from 'vitest';
import type { PhotoCount } from '@veligrid/model';
import type { FillingSummary } from '../../../apps/cli/src/count/filling-summary.js';
import { cutPhoto, onSlide, readSlide, type Cut } from '../../support/cut-photo.js';
import { newFolder } from '../support/shell.js';

/** The command as it is installed: compiled, with the finder and refiner that ship. */
const main = fileURLToPath(new URL('../../../apps/cli/dist/main.js', import.meta.url));
const root = fileURLToPath(new URL('../../../', import.meta.url));
const folder = newFolder();
const [photos, out] = [join(folder, 'photos'), join(folder, 'out')];

const size = { width: 800, height: 640 };
// a and b share a quarter; z shows another place
const cuts: Readonly<Record<string, Cut>> = {
  a: { ...size, middle: [430, 360] },
  b: { ...size, middle: [1030, 372], turnDeg: -2.4, gain: 0.85, quality: 76, seed: 2 },
  z: { ...size, middle: [1600, 1150], seed: 3 },
};

const read = (name: string): unknown => JSON.parse(readFileSync(join(out, `${name}.json`), 'utf8'));
const countOf = (name: string): PhotoCount => read(name) as PhotoCount;

describe('veligrid count --one-filling', () => {
  let answer: { status: number | null; stdout: string; stderr: string };
  let filling: FillingSummary;

  beforeAll(async () => {
    mkdirSync(photos);
    const slide = await readSlide(join(root, 'sample-images/drawn/early_03.jpg'));
    for (const [name, cut] of Object.entries(cuts)) {
      writeFileSync(join(photos, `${name}.jpg`), await cutPhoto(slide, cut));
    }
    copyFileSync(join(photos, 'a.jpg'), join(photos, 'again.jpg'));
    const args = ['count', photos, '--one-filling', '--scale', '1.773437', '--out', out];
    answer = spawnSync(process.execPath, [main, ...args], { encoding: 'utf8' });
    filling = read('one-filling') as FillingSummary;
  }, 400_000);

  it('writes a summary that fits its schema and adds up', () => {
    expect(answer.status, answer.stderr).toBe(0);
    const schema = JSON.parse(readFileSync(join(root, 'docs/one-filling.schema.json'), 'utf8')) as object;
    const valid = new Ajv2020({ strict: true, strictTypes: false, allowUnionTypes: true }).compile(schema);
    valid(filling);
    expect(valid.errors ?? []).toEqual([]);
    expect(filling.photos.map(({ photo }) => photo)).toEqual(['a.jpg', 'again.jpg', 'b.jpg', 'z.jpg']);
    expect(filling.photos.reduce((sum, { counted }) => sum + counted, 0)).toBe(filling.counted);
    for (const { photo, counted } of filling.photos) {
      const { detections } = countOf(photo.replace('.jpg', ''));
      expect(detections.filter((one) => one.counted)).toHaveLength(counted);
    }
  });

  it('counts each larva once, and says which photo it is counted from', () => {
    const counted = ['a', 'again', 'b', 'z'].flatMap((name) =>
      countOf(name)
        .detections.filter((one) => one.counted)
        .map(({ x, y }) => onSlide(cuts[name] ?? cuts['a'], x, y)),
    );
    const near = counted.filter(([x, y], k) =>
      counted.some(([u, v], other) => other !== k && Math.hypot(x - u, y - v) < 8),
    );
    expect(near).toEqual([]);
    const copies = ['a', 'again', 'b'].flatMap((name) => countOf(name).detections.filter(({ sameAs }) => sameAs));
    expect(copies.length).toBeGreaterThan(20);
    for (const { counted: isCounted, sameAs } of copies) {
      expect(isCounted).toBe(false);
      const kept = countOf((sameAs?.photo ?? '').replace('.jpg', '')).detections.find(({ id }) => id === sameAs?.id);
      expect(kept?.sameAs).toBeUndefined();
    }
  });

  it('warns of the file given twice and of the photo that overlaps no other', () => {
    expect(filling.groups).toEqual([['a.jpg', 'again.jpg', 'b.jpg'], ['z.jpg']]);
    expect(filling.warnings.map(({ code }) => code).sort()).toEqual(['photos-not-joined', 'same-photo-twice']);
    expect(answer.stdout).toMatch(/Warning same-photo-twice: a\.jpg and again\.jpg are the same picture/);
    expect(answer.stdout).toMatch(/Not joined to any other photo: z\.jpg\./);
  });
});
