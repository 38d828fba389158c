import type { Field, Kind } from '@veligrid/model';
import { describe, expect, it } from 'vitest';
import { measureObject, type Scene } from '../../../packages/imaging/src/measure/measure-object.js';
import { measureObjects } from '../../../packages/imaging/src/measure/measure-objects.js';
import type { Raster } from '../../../packages/imaging/src/raster.js';
import { boxPoints, cutDiscPoints, ellipsePoints, placed } from '../../support/polygon-shapes.js';
import { normalFrom, seededRandom } from '../../support/seeded-random.js';
import { RISE_OVER_SIGMA, softDiscRaster, type SoftDisc } from '../../support/soft-disc.js';

const FRAME: Field = { kind: 'frame', ground: 'light' };
const noise = (sd: number): (() => number) => {
  const normal = normalFrom(seededRandom(11));
  return () => sd * normal();
};
const DISC: SoftDisc = { size: 160, x: 80.3, y: 79.6, radius: 30, ground: 200, inside: 100, sigma: 1 };

function scene(raster: Raster, more: Partial<Scene> = {}): Scene {
  const scale = { umPerPx: 2, relativeStandardUncertainty: 0.01 };
  return { raster, field: FRAME, scale, distanceToLine: null, ...more };
}

const disc = { outline: placed(ellipsePoints(30, 30), 80.3, 79.6), kind: 'egg-or-embryo' as Kind, hingeAxisRad: null };
const EVEN: Raster = { width: 300, height: 300, data: new Uint8Array(3 * 90000).fill(200) };

describe('measureObject of a soft disc', () => {
  const measured = measureObject(disc, scene(softDiscRaster({ ...DISC, noise: noise(2) })));

  it('gives its size in micrometres', () => {
    expect(measured.lengthUm).toBeCloseTo(120, 2);
    expect(measured.heightUm).toBeCloseTo(120, 2);
    expect(measured.areaUm2).toBeCloseTo(Math.PI * 3600, 0);
    expect(measured.equivalentDiameterUm).toBeCloseTo(120, 2);
    expect([measured.x, measured.y]).toEqual([expect.closeTo(80.3, 6), expect.closeTo(79.6, 6)]);
    expect(measured.measures.hinge).toBeNull();
    expect(measured.flags).toEqual([]);
  });

  it('gives its optical density on light, not on levels', () => {
    // sRGB (IEC 61966-2-1): level 200 is 0.5776 of white, 100 is 0.1274. The soft rim and the noise take a little away.
    const density = Math.log(0.5776 / 0.1274);
    expect(measured.measures.darkness).toBeGreaterThan(0.95 * density);
    expect(measured.measures.darkness).toBeLessThan(1.01 * density);
  });

  it.each([0.7, 1, 2, 4])('sees how sharp its rim is: blur of %f px', (sigma) => {
    const { measures } = measureObject(disc, scene(softDiscRaster({ ...DISC, sigma, noise: noise(3) })));
    // Read between pixels (bilinear, up to 0.3 px of blur more) and in steps of half a pixel.
    const blurred = RISE_OVER_SIGMA * Math.hypot(sigma, 0.3);
    expect(Math.abs((measures.edgeWidthPx ?? NaN) - blurred)).toBeLessThan(0.1 * blurred + 0.25);
    // 100 levels over a noise of 3: 33. Noise comes from a median deviation (2 levels here) of whole levels, so it is
    // known to half a level, a quarter.
    expect(measures.edgeContrast).toBeGreaterThan(25);
    expect(measures.edgeContrast).toBeLessThan(44);
  });

  it('is as dark and sharp on a dark ground with light and dark exchanged', () => {
    const raster = softDiscRaster({ ...DISC, ground: 60, inside: 180, noise: noise(1) });
    const { measures, flags } = measureObject(disc, scene(raster, { field: { kind: 'frame', ground: 'dark' } }));
    expect(measures.darkness).toBeLessThan(-1);
    expect(measures.edgeWidthPx).toBeGreaterThan(2);
    expect(measures.edgeWidthPx).toBeLessThan(3.2);
    expect(flags).toEqual([]);
  });

  it('leaves micrometres out without a scale', () => {
    const bare = measureObject(
      disc,
      scene(softDiscRaster(DISC), { scale: { umPerPx: null, relativeStandardUncertainty: null } }),
    );
    expect([bare.lengthUm, bare.heightUm, bare.areaUm2, bare.lengthStandardUncertaintyUm]).toEqual([
      null,
      null,
      null,
      null,
    ]);
    expect(bare.measures.maxFeretUm).toBeNull();
    expect(bare.measures.lengthPx).toBeCloseTo(60, 2);
    expect(bare.lengthStandardUncertaintyPx).toBeGreaterThan(0);
  });

  it('carries the uncertainty of the scale', () => {
    // 1 % of 120 um and the rest below that.
    expect(measured.lengthStandardUncertaintyUm).toBeGreaterThan(1.2);
    expect(measured.lengthStandardUncertaintyUm).toBeLessThan(2);
  });
});

describe('length', () => {
  // Radius 40, hinge side 24 above the middle, turned by 30 degrees: 80 long, 64 high.
  const turn = Math.PI / 6;
  const outline = placed(cutDiscPoints(40, 24), 150, 150, turn);
  const length = (kind: Kind, hingeAxisRad: number | null): readonly [number, number, number] => {
    const { measures, axisDeg } = measureObject({ outline, kind, hingeAxisRad }, scene(EVEN));
    return [measures.lengthPx, measures.heightPx, axisDeg];
  };

  it('lies along the hinge of a shell, also when its direction is known but roughly', () => {
    for (const hint of [turn, turn + 0.2, turn - 0.2 + Math.PI, null]) {
      const [lengthPx, heightPx, axisDeg] = length('shelled-larva', hint);
      expect(lengthPx).toBeCloseTo(80, 0);
      expect(heightPx).toBeCloseTo(64, 0);
      expect(Math.abs(axisDeg - 30)).toBeLessThan(1);
    }
  });

  it('follows the rough direction when no straight edge lies near it', () => {
    const [, , axisDeg] = length('empty-or-dead', turn + 0.7);
    expect(axisDeg).toBeCloseTo(30 + (0.7 * 180) / Math.PI, 6);
  });

  it('is the greatest Feret diameter of an egg or embryo, whatever the rough direction', () => {
    const ellipse = {
      outline: placed(ellipsePoints(40, 30), 150, 150, 1),
      kind: 'egg-or-embryo' as Kind,
      hingeAxisRad: 0,
    };
    const { measures, axisDeg } = measureObject(ellipse, scene(EVEN));
    expect(measures.lengthPx).toBeCloseTo(80, 3);
    expect(measures.heightPx).toBeCloseTo(60, 3);
    expect(axisDeg).toBeCloseTo(180 / Math.PI, 3);
  });

  it('gives place and length of the hinge', () => {
    const { measures } = measureObject({ outline, kind: 'shelled-larva', hingeAxisRad: turn }, scene(EVEN));
    expect(Math.abs((measures.hinge?.lengthPx ?? NaN) - 64)).toBeLessThan(4);
    expect(measures.hinge?.lengthUm).toBeCloseTo(2 * (measures.hinge?.lengthPx ?? NaN), 9);
    expect(Math.hypot((measures.hinge?.xPx ?? NaN) - 162, (measures.hinge?.yPx ?? NaN) - 129.2)).toBeLessThan(2);
  });
});

describe('flags', () => {
  const flagsOf = (outline: Float64Array, kind: Kind, more: Partial<Scene> = {}): readonly string[] =>
    measureObject({ outline, kind, hingeAxisRad: 0 }, scene(softDiscRaster(DISC), more)).flags;

  it('cut: within a quarter of a pixel of the outermost pixels, or beyond 0.985 of a round field', () => {
    const at = (x: number): readonly string[] => flagsOf(placed(ellipsePoints(30, 30), x, 79.6), 'egg-or-embryo');
    expect(at(30.2)).toContain('cut');
    expect(at(30.3)).not.toContain('cut');
    const round = (radiusPx: number): Field => ({ kind: 'round', ground: 'light', centrePx: [80.3, 79.6], radiusPx });
    expect(flagsOf(disc.outline, 'egg-or-embryo', { field: round(30 / 0.984) })).toEqual(
      flagsOf(disc.outline, 'egg-or-embryo', { field: round(60) }),
    );
    expect(flagsOf(disc.outline, 'egg-or-embryo', { field: round(30 / 0.986) })).toContain('cut');
  });

  it('on-line: a line meets the outline, also between two of its points', () => {
    const upright = (x: number) => (px: number) => Math.abs(px - x) - 0.1;
    const box = placed(boxPoints(40, 40), 80, 80);
    expect(flagsOf(box, 'egg-or-embryo', { distanceToLine: upright(80) })).toContain('on-line');
    expect(flagsOf(disc.outline, 'egg-or-embryo', { distanceToLine: upright(52.3) })).toContain('on-line');
    expect(flagsOf(disc.outline, 'egg-or-embryo', { distanceToLine: upright(48) })).not.toContain('on-line');
  });

  it('out-of-focus: the rim rises over more than 27 % of the length', () => {
    const blurred = (sigma: number): readonly string[] =>
      measureObject(disc, scene(softDiscRaster({ ...DISC, sigma }))).flags;
    // 27 % of 60 px is 16 px: blurred with 6.3 px.
    expect(blurred(4.5)).toEqual([]);
    expect(blurred(12)).toEqual(['out-of-focus']);
  });

  it('out-of-focus: no rim is seen at all', () => {
    expect(measureObject({ ...disc, outline: placed(ellipsePoints(30, 30), 150, 150) }, scene(EVEN)).flags).toEqual([
      'out-of-focus',
    ]);
  });

  it('edge-on: shells below 0.70 of their greatest Feret diameter, never embryos', () => {
    const outline = (ratio: number): Float64Array => placed(ellipsePoints(30, 30 * ratio), 80.3, 79.6);
    expect(flagsOf(outline(0.69), 'shelled-larva')).toContain('edge-on');
    expect(flagsOf(outline(0.71), 'shelled-larva')).not.toContain('edge-on');
    expect(flagsOf(outline(0.5), 'egg-or-embryo')).not.toContain('edge-on');
  });

  it('gaping: a notch away from the hinge, not one beside it or at it', () => {
    const notched = (turn: number): Float64Array => {
      // Disc of 60 px with a notch 8 px deep and wide at the lower end, or turned elsewhere; the hinge is level.
      const points = ellipsePoints(30, 30).filter(([x, y]) => y < 0 || Math.abs(x) > 6);
      points.splice(
        points.findIndex(([x, y]) => y > 0 && x <= -6),
        0,
        [0, 18],
      );
      return placed(points, 80.3, 79.6, turn);
    };
    expect(flagsOf(notched(0), 'empty-or-dead')).toContain('gaping');
    expect(flagsOf(notched(Math.PI / 2), 'empty-or-dead')).not.toContain('gaping');
    expect(flagsOf(notched(0), 'egg-or-embryo')).not.toContain('gaping');
    expect(flagsOf(disc.outline, 'empty-or-dead')).not.toContain('gaping');
  });

  it('touching: set by measureObjects, in the order of the model', () => {
    const outlines = [placed(ellipsePoints(20, 20), 21, 80), placed(ellipsePoints(20, 20), 61.5, 80), disc.outline];
    const objects = [outlines[0], outlines[1], placed(ellipsePoints(9, 9), 120, 120)].map((outline) => ({
      ...disc,
      outline,
    }));
    const flags = measureObjects(objects, scene(EVEN, { distanceToLine: (x) => Math.abs(x - 21) })).map((m) => m.flags);
    expect(flags).toEqual([['touching', 'on-line', 'out-of-focus'], ['touching', 'out-of-focus'], ['out-of-focus']]);
  });
});

describe('where there is no ground', () => {
  it('says so with an edge width of null, not with a flag', () => {
    const field: Field = { kind: 'round', ground: 'light', centrePx: [500, 500], radiusPx: 50 };
    const { measures, flags } = measureObject(disc, scene(softDiscRaster(DISC), { field }));
    expect([measures.darkness, measures.edgeContrast, measures.edgeWidthPx]).toEqual([0, 0, null]);
    expect(flags).toEqual(['cut']);
  });
});

describe('refusals', () => {
  it('refuses outlines that enclose nothing and impossible scales', () => {
    const line = { ...disc, outline: Float64Array.of(1, 1, 2, 2, 3, 3) };
    expect(() => measureObject(line, scene(EVEN))).toThrow(
      'Expected outline to be three points or more that enclose an area',
    );
    expect(() => measureObject({ ...disc, outline: Float64Array.of(0, 0, NaN, 1, 1, 1) }, scene(EVEN))).toThrow(
      'enclose an area',
    );
    const scale = { umPerPx: 0, relativeStandardUncertainty: 0 };
    expect(() => measureObject(disc, scene(EVEN, { scale }))).toThrow(
      'Expected scale.umPerPx to be a number above 0 or null, but got 0',
    );
  });
});
