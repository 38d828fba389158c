import type { Raster } from '../../../packages/imaging/src/raster.js';
import { describe, expect, it } from 'vitest';
import { FEATURES } from '../../../packages/imaging/src/stage/feature-list.js';
import { bleb, fringe, unevenness } from '../../../packages/imaging/src/stage/features/bleb.js';
import { bodyDensity } from '../../../packages/imaging/src/stage/features/body-density.js';
import { eyeSpot } from '../../../packages/imaging/src/stage/features/eye-spot.js';
import { finderOpinion } from '../../../packages/imaging/src/stage/features/finder-opinion.js';
import { gutColour } from '../../../packages/imaging/src/stage/features/gut-colour.js';
import { lobes } from '../../../packages/imaging/src/stage/features/lobes.js';
import { paleSpot } from '../../../packages/imaging/src/stage/features/pale-spot.js';
import { polarView, type PolarView } from '../../../packages/imaging/src/stage/features/polar-view.js';
import { radialProfile } from '../../../packages/imaging/src/stage/features/radial-profile.js';
import { rimRadii } from '../../../packages/imaging/src/stage/features/rim-radii.js';
import { furrows, texture } from '../../../packages/imaging/src/stage/features/texture.js';
import { umbo } from '../../../packages/imaging/src/stage/features/umbo.js';
import { plainFeatures, stageFeatures } from '../../../packages/imaging/src/stage/stage-features.js';
import { measureObject } from '../../../packages/imaging/src/measure/measure-object.js';
import { cutDiscPoints, ellipsePoints, placed } from '../../support/polygon-shapes.js';

const SIZE = 240;
const MIDDLE = 120;
const RADIUS = 60;
const GROUND = 0.6;

/** Density at (x, y) from the middle in units of the radius; one number, or one for red, green and blue each. */
type Drawing = (x: number, y: number) => number | readonly [number, number, number];

/** Byte for light from 0 to 1 (transfer curve of sRGB, IEC 61966-2-1). */
function byteOf(light: number): number {
  const value = light <= 0.0031308 ? 12.92 * light : 1.055 * light ** (1 / 2.4) - 0.055;
  return Math.round(255 * Math.min(1, value));
}

/** A picture of even ground that holds back as much light as the drawing says. */
function drawn(density: Drawing): Raster {
  const data = new Uint8Array(3 * SIZE * SIZE);
  for (let pos = 0; pos < SIZE * SIZE; pos++) {
    const d = density(((pos % SIZE) - MIDDLE) / RADIUS, (Math.floor(pos / SIZE) - MIDDLE) / RADIUS);
    const channels = typeof d === 'number' ? [d, d, d] : d;
    channels.forEach((one, c) => {
      data[3 * pos + c] = byteOf(GROUND * Math.exp(-one));
    });
  }
  return { width: SIZE, height: SIZE, data };
}

const CIRCLE = placed(ellipsePoints(RADIUS, RADIUS), MIDDLE, MIDDLE);
const VIEWED = { outline: CIRCLE, x: MIDDLE, y: MIDDLE, axisRad: 0, equivalentDiameterPx: 2 * RADIUS };
const viewOf = (density: Drawing): PolarView => polarView(drawn(density), VIEWED);
const body =
  (density: Drawing): Drawing =>
  (x, y) =>
    Math.hypot(x, y) < 1 ? density(x, y) : 0;
const plain = viewOf(body(() => 1));

describe('lobes of an outline', () => {
  const outline = (k: number): Float64Array =>
    Float64Array.from(
      Array.from({ length: 256 }, (_, i) => (2 * Math.PI * i) / 256).flatMap((angle) => {
        const radius = 50 * (1 + 0.1 * Math.cos(k * angle));
        return [radius * Math.cos(angle), radius * Math.sin(angle)];
      }),
    );
  it.each([2, 3, 4, 5, 6])('are told by number: %i swellings of a tenth', (k) => {
    const answer = lobes(rimRadii({ outline: outline(k), x: 0, y: 0, axisRad: 0 }, 64));
    for (const other of [2, 3, 4, 5, 6]) expect(answer[`lobes_${String(other)}`]).toBeCloseTo(other === k ? 0.1 : 0, 2);
  });
});

describe('rise of the long sides', () => {
  const radii = (outline: Float64Array): Float64Array => rimRadii({ outline, x: 0, y: 0, axisRad: 0 }, 64);
  it('is 0 on the straight side of a disc cut off, and that of a circle on the other', () => {
    // circle of diameter 1: height is 0.5 in the middle and 0.4 at 0.3 from it; means over the parts are a little nearer
    const cut = umbo(radii(placed(cutDiscPoints(50, 25), 0, 0)), 100);
    expect(cut['rise_flat']).toBeCloseTo(0, 2);
    expect(cut['rise_round']).toBeGreaterThan(0.08);
    expect(cut['rise_round']).toBeLessThan(0.11);
  });
  it('is alike on both sides of a circle', () => {
    const { rise_flat: flat = 0, rise_round: round = 1 } = umbo(radii(placed(ellipsePoints(50, 50))), 100);
    expect(round - flat).toBeLessThan(0.002);
  });
});

describe('density by part', () => {
  it('of an even disc is that of the drawing', () => {
    const even = bodyDensity(plain);
    expect(even['darkness_inside']).toBeCloseTo(1, 1);
    expect(even['darkness_core']).toBeCloseTo(0, 2);
    expect(even['halo']).toBeCloseTo(0, 2);
    for (const name of [1, 2, 3, 4]) expect(radialProfile(plain)[`profile_${String(name)}`]).toBeCloseTo(-0.048, 1);
  });
  it('of a clear shell with a dark rim lies at the rim', () => {
    const shell = bodyDensity(viewOf(body((x, y) => (Math.hypot(x, y) > 0.9 ? 1.2 : 0.1))));
    expect(shell['darkness_inside']).toBeCloseTo(0.1, 1);
    expect(shell['rim_over_inside']).toBeCloseTo(1.1, 1);
  });
  it('of a disc with a dark core lies in the core', () => {
    // core of 0.3 of the radius darker by 0.8; ring means are taken with its soft border
    const core = viewOf(body((x, y) => (Math.hypot(x, y) < 0.3 ? 1.4 : 0.6)));
    expect(bodyDensity(core)['darkness_core']).toBeCloseTo(0.8, 1);
    expect(radialProfile(core)['profile_1']).toBeGreaterThan(0.5);
    // the core is 14 % of the part within 0.81 of the radius; area is weighed in steps, which lets it count for more
    expect(radialProfile(core)['dark_share']).toBeGreaterThan(0.1);
    expect(radialProfile(core)['dark_share']).toBeLessThan(0.25);
  });
});

describe('texture', () => {
  it('of an even disc is none', () => {
    expect(texture(plain)['granularity']).toBeLessThan(0.01);
    expect(texture(plain)['patchiness']).toBeLessThan(0.02);
  });
  it.each([1, 2, 3, 4])('tells %i furrows of three tenths', (k) => {
    const view = viewOf(body((x, y) => 1 + 0.3 * Math.cos(k * Math.atan2(y, x))));
    const answer = furrows(view);
    // amplitude 0.3 over the mean of 1 and the floor of 0.05
    for (const other of [1, 2, 3, 4]) {
      expect(answer[`furrows_${String(other)}`]).toBeCloseTo(other === k ? 0.286 : 0, 1);
    }
    expect(answer[`furrows_${String(k)}`]).toBeGreaterThan(0.25);
  });
  it('of granules is finer than that of patches', () => {
    const granules = texture(viewOf(body((x, y) => 1 + 0.5 * Math.sin(40 * x) * Math.sin(40 * y))));
    const patches = texture(viewOf(body((x) => 1 + 0.5 * Math.sin(3 * x))));
    expect(granules['granularity']).toBeGreaterThan(4 * (patches['granularity'] ?? 0));
    expect(patches['patchiness']).toBeGreaterThan(0.15);
  });
});

describe('small things', () => {
  it('a pale spot is one wherever it lies, an even disc has none', () => {
    // spot of 0.3 of the radius that holds back 0.5 where the body holds back 1
    const spot = paleSpot(viewOf(body((x, y) => (Math.hypot(x - 0.2, y) < 0.3 ? 0.5 : 1))));
    expect(spot['pale_spot']).toBeGreaterThan(0.35);
    expect(spot['pale_spot']).toBeLessThan(0.5);
    expect(Math.abs(paleSpot(plain)['pale_spot'] ?? 1)).toBeLessThan(0.03);
  });
  it('a bleb on the rim stands out, alone and narrow; a plain rim has none', () => {
    // a tenth of the diameter wide, half of it beyond the rim, as a polar body
    const view = viewOf((x, y) => (Math.hypot(x, y) < 1 || Math.hypot(x - 1.1, y) < 0.1 ? 1 : 0));
    const { bleb: height, bleb_second: second, bleb_width: width } = bleb(view, unevenness(view));
    expect(height).toBeGreaterThan(5 * (bleb(plain, unevenness(plain))['bleb'] ?? 1));
    expect(second).toBeLessThan(0.3);
    expect(width).toBeLessThan(0.12);
  });
  it('a velum on one side is a fringe of that side', () => {
    const velum = viewOf((x, y) => {
      const apart = Math.hypot(x, y);
      if (apart < 1) return 1;
      return x > 0 && apart < 1.5 && Math.sin(20 * Math.atan2(y, x)) > 0 ? 0.5 : 0;
    });
    expect(fringe(velum, unevenness(velum))['fringe_side']).toBeGreaterThan(1);
    expect(Math.abs(fringe(plain, unevenness(plain))['fringe_side'] ?? 9)).toBeLessThan(0.5);
  });
  it('an eye spot is found where it is and as wide as it is', () => {
    // at 2.5 um per pixel the disc is 300 um long, the spot 12 um wide and 45 um from the middle
    const width = 12 / 150;
    const dark = drawn(body((x, y) => (Math.hypot(x - 0.3, y) < width / 2 ? 2.5 : 0.6)));
    const eye = eyeSpot(dark, VIEWED, 2 * RADIUS, 2.5);
    expect(eye['eye_offset']).toBeCloseTo(0.15, 1);
    expect(eye['eye_contrast']).toBeGreaterThan(0.5);
    expect(eye['eye_diameter_um']).toBeGreaterThan(8);
    expect(eye['eye_diameter_um']).toBeLessThan(16);
    expect(eyeSpot(dark, VIEWED, 2 * RADIUS, null)).not.toHaveProperty('eye_diameter_um');
    const none = eyeSpot(drawn(body(() => 0.6)), VIEWED, 2 * RADIUS, 2.5);
    expect(none['eye_contrast']).toBeLessThan(0.05);
  });
  it('a brown gut is dark and brown', () => {
    const gut = gutColour(viewOf(body((x, y) => (Math.hypot(x, y) < 0.3 ? [0.6, 1.2, 1.6] : [0.4, 0.4, 0.4]))));
    // the darkest 15 % are the gut's 0.09 of the disc over 0.56 of it looked at, all but a few
    expect(gut['gut_darkness']).toBeGreaterThan(0.5);
    expect(gut['gut_warmth']).toBeGreaterThan(0.5);
    expect(Math.abs(gutColour(plain)['warmth_inside'] ?? 1)).toBeLessThan(0.02);
  });
});

describe('the finder as one voice', () => {
  it('is heard among eggs, embryos and larvae alone', () => {
    const said = finderOpinion({ egg_unfertilised: 0.3, two_cell: 0.1, debris: 0.5, ground: 0.1 });
    expect(said).toEqual({
      saw_egg_unfertilised: expect.closeTo(Math.log(0.751), 6) as number,
      saw_two_cell: expect.closeTo(Math.log(0.251), 6) as number,
    });
  });
});

describe('all features of an ellipse of 100 by 50 um', () => {
  const outline = placed(ellipsePoints(50, 25), MIDDLE, MIDDLE);
  const raster = drawn((x, y) => (Math.hypot(x / (50 / RADIUS), y / (25 / RADIUS)) < 1 ? 1 : 0));
  const scale = { umPerPx: 1, relativeStandardUncertainty: 0 };
  const field = { kind: 'frame', ground: 'light' } as const;
  const measured = measureObject(
    { outline, kind: 'egg-or-embryo', hingeAxisRad: null },
    { raster, field, scale, distanceToLine: null },
  );
  const classes = FEATURES.filter(({ name }) => name.startsWith('saw_')).map(({ name }) => name.slice(4));
  const found = { classProbabilities: Object.fromEntries(classes.map((name) => [name, 1 / classes.length])) };
  const features = stageFeatures({ raster, umPerPx: 1, ground: 'light' }, { found, outline, measured });

  it('have the names of the list, and lie in its ranges', () => {
    expect(Object.keys(features).sort()).toEqual(FEATURES.map(({ name }) => name).sort());
    for (const { name, range } of FEATURES) {
      const [low = 0, high = 0] = range.split('..').map(Number);
      expect(features[name], name).toBeGreaterThanOrEqual(low - 1e-9);
      expect(features[name], name).toBeLessThanOrEqual(high);
    }
  });
  it('have the shape of an ellipse', () => {
    expect(features['ln_length']).toBeCloseTo(Math.log(100), 2);
    expect(features['ln_diameter']).toBeCloseTo(Math.log(Math.sqrt(5000)), 2);
    expect(features['aspect']).toBeCloseTo(0.5, 2);
    expect(features['feret_ratio']).toBeCloseTo(0.5, 2);
    expect(features['fullness']).toBeCloseTo(Math.PI / 4, 2);
    expect(features['unsolid']).toBeLessThan(-4.5);
    expect(features['hinge_share']).toBe(0);
  });
  it('leave sizes out without a scale, and are few for what is no larva', () => {
    const unscaled = measureObject(
      { outline, kind: 'egg-or-embryo', hingeAxisRad: null },
      { raster, field, scale: { umPerPx: null, relativeStandardUncertainty: null }, distanceToLine: null },
    );
    const without = stageFeatures({ raster, umPerPx: null, ground: 'light' }, { found, outline, measured: unscaled });
    expect(FEATURES.map(({ name }) => name).filter((name) => !(name in without))).toEqual([
      'ln_length',
      'ln_diameter',
      'eye_diameter_um',
    ]);
    expect(plainFeatures({ found, measured })).toEqual(
      Object.fromEntries(Object.entries(features).filter(([name]) => name in plainFeatures({ found, measured }))),
    );
  });
  it("leave out on a dark ground what rests on darkness, and keep shape and the finder's opinion", () => {
    const onDark = stageFeatures({ raster, umPerPx: 1, ground: 'dark' }, { found, outline, measured });
    const shape = ['outline-shape.ts', 'lobes.ts', 'umbo.ts', 'finder-opinion.ts'];
    const expected = FEATURES.filter(({ file }) => shape.includes(file)).map(({ name }) => name);
    expect(Object.keys(onDark).sort()).toEqual(expected.sort());
  });
});
