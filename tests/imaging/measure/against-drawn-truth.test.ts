import { readFileSync } from 'node:fs';
import { readPhoto } from '@veligrid/imaging';
import type { Flag, Kind } from '@veligrid/model';
import { beforeAll, describe, expect, it } from 'vitest';
import type { MeasuredObject } from '../../../packages/imaging/src/measure/measure-object.js';
import { measureObjects } from '../../../packages/imaging/src/measure/measure-objects.js';
import { seededRandom } from '../../support/seeded-random.js';

/** Truth of the drawn slides in sample-images; fields as its README names them. */
interface DrawnObject {
  readonly class: string;
  readonly length_um: number;
  readonly height_um: number;
  readonly area_um2: number;
  readonly length_px: number;
  readonly axis_deg: number;
  readonly blur_radius_um: number;
  readonly polygon: readonly (readonly [number, number])[];
  readonly tilt_deg?: readonly [number, number];
  readonly cut_by_frame: boolean;
  readonly touching: boolean;
}

const SLIDES = ['crowded_03', 'd-hinge_04', 'early_03', 'eggs_01', 'eyed_05', 'mixed_01', 'umbo_04'] as const;
/** The finder's rough direction of the hinge is taken to be off by up to this, either way. */
const HINT_OFF_RAD = (5 * Math.PI) / 180;

interface Pair {
  readonly truth: DrawnObject;
  readonly measured: MeasuredObject;
  /** Micrometres per pixel where the object lies; perspective makes it differ over the picture. */
  readonly umPerPx: number;
}

async function pairsOf(slide: string): Promise<Pair[]> {
  const samples = new URL('../../../sample-images/', import.meta.url);
  const truth = JSON.parse(readFileSync(new URL(`truth/${slide}.json`, samples), 'utf8')) as {
    readonly um_per_px: number;
    readonly geometry: { readonly rotation_deg: number };
    readonly objects: readonly DrawnObject[];
  };
  const { value: page } = await readPhoto(new URL(`drawn/${slide}.jpg`, samples).pathname).next();
  if (page === undefined) throw new Error('no page');
  const random = seededRandom(4);
  const objects = truth.objects.map((object) => ({
    outline: Float64Array.from(object.polygon.flat()),
    kind: kindOf(object),
    hingeAxisRad: object.tilt_deg
      ? ((object.axis_deg + truth.geometry.rotation_deg) * Math.PI) / 180 + HINT_OFF_RAD * (2 * random() - 1)
      : null,
  }));
  const measured = measureObjects(objects, {
    raster: page.raster,
    field: { kind: 'frame', ground: 'light' },
    scale: { umPerPx: truth.um_per_px, relativeStandardUncertainty: 0 },
    distanceToLine: null,
  });
  return truth.objects.map((object, k) => ({
    truth: object,
    measured: measured[k],
    umPerPx: object.length_um / object.length_px,
  }));
}

function kindOf({ class: name, tilt_deg }: DrawnObject): Kind {
  if (name === 'empty_shell' || name === 'dead') return 'empty-or-dead';
  return tilt_deg ? 'shelled-larva' : 'egg-or-embryo';
}

describe('measures of the outlines of drawn slides', () => {
  const pairs: Pair[] = [];
  beforeAll(async () => {
    for (const slide of SLIDES) pairs.push(...(await pairsOf(slide)).filter(({ truth }) => !truth.cut_by_frame));
  });

  /** Share of the objects whose measure is within `limit` of the truth. */
  const within = (limit: number, error: (pair: Pair) => number): number =>
    pairs.filter((pair) => Math.abs(error(pair)) < limit).length / pairs.length;
  const flagged = (flag: Flag): Pair[] => pairs.filter(({ measured }) => measured.flags.includes(flag));
  const blur = ({ truth }: Pair): number => truth.blur_radius_um / truth.length_um;

  it('there are many, of all kinds', () => {
    expect(pairs.length).toBeGreaterThan(600);
    expect(new Set(pairs.map(({ truth }) => kindOf(truth))).size).toBe(3);
  });

  it('area within 0.5 % for every object', () => {
    expect(
      within(0.005, ({ truth, measured, umPerPx }) => (measured.measures.areaPx2 * umPerPx ** 2) / truth.area_um2 - 1),
    ).toBe(1);
  });

  it('length within 1 % for 97 of 100 objects, 0.2 % on the average, without bias', () => {
    const error = ({ truth, measured }: Pair): number => measured.measures.lengthPx / truth.length_px - 1;
    expect(within(0.01, error)).toBeGreaterThan(0.97);
    const errors = pairs.map(error);
    expect(errors.reduce((sum, value) => sum + Math.abs(value), 0) / pairs.length).toBeLessThan(0.0025);
    expect(Math.abs(errors.reduce((sum, value) => sum + value, 0) / pairs.length)).toBeLessThan(0.001);
  });

  it('height within 1 % for 95 of 100 objects', () => {
    expect(
      within(0.01, ({ truth, measured, umPerPx }) => (measured.measures.heightPx * umPerPx) / truth.height_um - 1),
    ).toBeGreaterThan(0.95);
  });

  it('touching agrees with the truth for 99 of 100 objects', () => {
    const wrong = pairs.filter(({ truth, measured }) => measured.flags.includes('touching') !== truth.touching);
    expect(wrong.length).toBeLessThan(0.01 * pairs.length);
  });

  it('out-of-focus is set for 9 of 10 objects blurred over 30 % of their length, rarely for those below 20 %', () => {
    const blurred = pairs.filter((pair) => blur(pair) > 0.3);
    const told = blurred.filter(({ measured }) => measured.flags.includes('out-of-focus'));
    expect(blurred.length).toBeGreaterThan(5);
    expect(told.length).toBeGreaterThanOrEqual(0.9 * blurred.length);
    const wrong = flagged('out-of-focus').filter((pair) => blur(pair) < 0.2);
    expect(wrong.length).toBeLessThan(0.01 * pairs.length);
  });

  it('edge-on is set for shells tilted by more than 35 degrees only, and for most tilted by more than 60', () => {
    const tilt = ({ truth }: Pair): number => Math.max(...(truth.tilt_deg ?? [0]).map(Math.abs));
    expect(Math.min(...flagged('edge-on').map(tilt))).toBeGreaterThan(35);
    const upright = pairs.filter((pair) => tilt(pair) > 60);
    expect(upright.length).toBeGreaterThan(5);
    expect(upright.filter(({ measured }) => measured.flags.includes('edge-on')).length).toBeGreaterThan(
      0.6 * upright.length,
    );
  });

  it('no flat live larva is called gaping', () => {
    expect(flagged('gaping').filter(({ truth }) => truth.class !== 'empty_shell')).toEqual([]);
  });
});
