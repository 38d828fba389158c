import type { Detection, PhotoCount, Stage } from '@veligrid/model';
import { describe, expect, it } from 'vitest';
import { attachedSpermBand, fertilisationCheck, shareNormal } from '@veligrid/imaging';
import { countOf, detectionOf } from '../../cli/support/fake-imaging.js';
import { wilson } from '../../../packages/imaging/src/stage/share-limits.js';

const page = { raster: { width: 80, height: 60, data: new Uint8Array(0) }, page: 1, warnings: [] };

/** A slide with so many eggs of each stage. */
function slide(
  stages: Readonly<Partial<Record<Stage, number>>>,
  umPerPx = 1,
  more: Partial<Detection> = {},
): PhotoCount {
  const detections = Object.entries(stages).flatMap(([stage, number]) =>
    Array.from({ length: number }, (_, k) =>
      detectionOf(k, { id: `${stage}${String(k)}`, stage: stage as Stage, ...more }),
    ),
  );
  const scale = { umPerPx, source: 'given', relativeStandardUncertainty: 0 } as const;
  return { ...countOf('slide.jpg', page), scale, detections };
}

describe('fertilisation check', () => {
  it('gives 270 of 300 with the limits of Wilson', () => {
    // Wilson 86.08 to 92.91 % (SciPy; score interval of E. B. Wilson 1927)
    const check = fertilisationCheck([slide({ egg: 30, 'fertilised-egg': 120, 'two-cell': 150 })], { minutes: 90 });
    expect(check.fertilised?.share).toBeCloseTo(0.9, 12);
    expect(check.fertilised?.low).toBeCloseTo(0.8608, 4);
    expect(check.fertilised?.high).toBeCloseTo(0.9291, 4);
    expect([check.atLeast, check.polarBodiesJudged, check.warnings]).toEqual([false, true, []]);
  });

  it('calls an early count "at least"', () => {
    expect(fertilisationCheck([slide({ egg: 60, 'fertilised-egg': 60 })], { minutes: 30 }).atLeast).toBe(true);
  });

  it('can not judge polar bodies above 1.5 um per pixel and gives the cleaved share', () => {
    const check = fertilisationCheck([slide({ egg: 20, 'fertilised-egg': 30, 'two-cell': 50 }, 1.6)], { minutes: 150 });
    expect(check.fertilised?.share).toBe(0.5);
    expect(check.takenAsFertilised).not.toContain('fertilised-egg');
    expect(check.warnings.map(({ code }) => code)).toContain('polar-bodies-not-judged');
  });

  it('lists eggs that can not be scored apart', () => {
    const blurred = slide({ egg: 20 }, 1, { flags: ['out-of-focus'] });
    const sharp = slide({ egg: 50, 'two-cell': 50, unsure: 7 });
    const check = fertilisationCheck([{ ...sharp, detections: [...sharp.detections, ...blurred.detections] }], {
      minutes: 90,
    });
    expect(check.slides).toEqual([
      { photo: 'slide.jpg', fertilised: 50, unfertilised: 50, unscorable: 27, notRounded: 0 },
    ]);
    expect(check.warnings.map(({ code }) => code)).toEqual(['many-unscorable', 'below-target']);
  });

  it('widens the limits when slides differ more than chance', () => {
    const unlike = [slide({ egg: 10, 'two-cell': 90 }), slide({ egg: 50, 'two-cell': 50 })];
    const {
      share = 0,
      low = 0,
      high = 0,
      designEffect = 0,
    } = fertilisationCheck(unlike, { minutes: 90 }).fertilised ?? {};
    // by hand: share 0.7, variance between slides 2 * 2 * 20^2 / 200^2 = 0.04, of independent eggs 0.21 / 200
    expect(share).toBe(0.7);
    expect(designEffect).toBeCloseTo(0.04 / (0.21 / 200), 9);
    const alone = wilson(140, 200);
    expect(high - low).toBeGreaterThan(4 * (alone.high - alone.low));
  });

  it('judges attached sperm by its bands and never the added ones', () => {
    // bands of Lyu and Allen 1999, J. Shellfish Research 18:459-464 (abstract)
    expect([1, 4, 8, 12].map(attachedSpermBand)).toEqual([
      'below the advised range',
      'in the advised range',
      'above the advised range, no harm measured up to 10',
      'risk of polyspermy: more than 10 % deformed embryos',
    ]);
    const check = fertilisationCheck([slide({ egg: 100 })], { minutes: 90, addedSpermPerEgg: 1000 });
    expect([check.attachedSperm, check.addedSpermPerEgg]).toEqual([null, 1000]);
  });

  it.each([
    [{ minutes: -1 }, 'minutes'],
    [{ minutes: 30, target: 2 }, 'target'],
    [{ minutes: 30, addedSpermPerEgg: -1 }, 'addedSpermPerEgg'],
    [{ minutes: 30, attachedSpermPerEgg: Number.NaN }, 'attachedSpermPerEgg'],
  ])('refuses %j', (options, name) => {
    expect(() => fertilisationCheck([slide({ egg: 1 })], options)).toThrow(name);
  });
});

describe('share of normal form', () => {
  it('is of those judged alone, and says so', () => {
    const forms = (form: Detection['form'], number: number): Pick<Detection, 'form' | 'counted'>[] =>
      Array.from({ length: number }, () => ({ counted: true, ...(form === undefined ? {} : { form }) }));
    const answer = shareNormal([[...forms('normal', 27), ...forms('abnormal', 3), ...forms('not-judged', 70)]]);
    expect([answer.normal, answer.abnormal, answer.notJudged, answer.limits?.share]).toEqual([27, 3, 70, 0.9]);
    // Wilson 95 % of 27 in 30: 0.7438 to 0.9654
    expect(answer.limits?.low).toBeCloseTo(0.7438, 4);
    expect(answer.limits?.high).toBeCloseTo(0.9654, 4);
    expect(answer.denominator).toContain('form was judged');
    expect(shareNormal([forms('not-judged', 5)]).limits).toBeNull();
  });
});
