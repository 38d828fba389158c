import { readdirSync, readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { countPhoto } from '@veligrid/imaging';
import type { PhotoCount } from '@veligrid/model';
import { describe, expect, it } from 'vitest';

const samples = new URL('../../sample-images/', import.meta.url).pathname;

interface Truth {
  readonly um_per_px: number;
  readonly grid: object | null;
  readonly objects: readonly {
    readonly centroid_px: readonly [number, number];
    readonly length_um: number;
    readonly length_px: number;
    readonly cut_by_frame: boolean;
    readonly hard: boolean;
  }[];
}

/** Greedy match by centroid within half a length, as the slide drawer's scorer counts; cut and badly blurred ones are free. */
function agreement(count: PhotoCount, truth: Truth): { hit: number; missed: number; extra: number; errors: number[] } {
  const free = new Set(count.detections.filter((d) => d.counted));
  let hit = 0;
  let missed = 0;
  const errors: number[] = [];
  const order = [...truth.objects].sort((a, b) => Number(a.hard || a.cut_by_frame) - Number(b.hard || b.cut_by_frame));
  for (const object of order) {
    const [x, y] = object.centroid_px;
    const near = [...free]
      .map((d) => ({ d, apart: Math.hypot(d.x - x, d.y - y) }))
      .filter(({ apart }) => apart <= object.length_px / 2)
      .sort((a, b) => a.apart - b.apart);
    const scored = !object.hard && !object.cut_by_frame;
    const best = near.at(0);
    if (best !== undefined) {
      free.delete(best.d);
      if (scored) {
        hit++;
        if (best.d.lengthUm !== null) errors.push(best.d.lengthUm / object.length_um - 1);
      }
    } else if (scored) missed++;
  }
  return { hit, missed, extra: free.size, errors };
}

const drawn = readdirSync(join(samples, 'drawn')).filter((name) => name.endsWith('.jpg'));

describe('sample slides drawn by computer, scale given', () => {
  it('finds and measures them within the measured figures', async () => {
    let [hit, missed, extra] = [0, 0, 0];
    const errors: number[] = [];
    for (const name of drawn) {
      const truth = JSON.parse(readFileSync(join(samples, 'truth', `${basename(name, '.jpg')}.json`), 'utf8')) as Truth;
      const [count] = await countPhoto(join(samples, 'drawn', name), { scaleUmPerPx: truth.um_per_px });
      const one = agreement(count, truth);
      hit += one.hit;
      missed += one.missed;
      extra += one.extra;
      errors.push(...one.errors);
    }
    const bias = errors.reduce((a, b) => a + b, 0) / errors.length;
    const absolute = errors.reduce((a, b) => a + Math.abs(b), 0) / errors.length;
    expect((2 * hit) / (2 * hit + missed + extra)).toBeGreaterThan(0.985);
    expect(Math.abs(bias)).toBeLessThan(0.01);
    expect(absolute).toBeLessThan(0.025);
  }, 120_000);

  it('takes the scale from the ruled lines within 1 %', async () => {
    const truth = JSON.parse(readFileSync(join(samples, 'truth', 'calibration_00.json'), 'utf8')) as Truth;
    const [count] = await countPhoto(join(samples, 'drawn', 'calibration_00.jpg'));
    expect(count.scale.source).toBe('ruled-cell');
    expect(Math.abs((count.scale.umPerPx ?? 0) / truth.um_per_px - 1)).toBeLessThan(0.01);
  }, 60_000);

  it('gives the same result twice, to the last byte', async () => {
    const photo = join(samples, 'drawn', 'umbo_04.jpg');
    const first = JSON.stringify(await countPhoto(photo));
    expect(JSON.stringify(await countPhoto(photo))).toBe(first);
  }, 60_000);
});

describe('coral eggs on a dark ground (counted by eye by the author of the photos)', () => {
  // github.com/sarahtanja/coral-embryo-scope, commit 72648c10
  it.each([
    ['3L4_4xstitch_scale.jpg', 20],
    ['3L14_000_scale.jpg', 3],
    ['10H9_000_scale.jpg', 20],
  ])(
    '%s: %i',
    async (name, eggs) => {
      const [count] = await countPhoto(join(samples, 'coral-eggs', name));
      expect(count.detections.filter((d) => d.counted)).toHaveLength(eggs);
    },
    60_000,
  );
});
