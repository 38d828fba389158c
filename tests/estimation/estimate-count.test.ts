import { describe, expect, it } from 'vitest';
import { estimateCount } from '@veligrid/estimation';
import { meanLimits } from '../../packages/estimation/src/mean-limits.js';
import { exact, printed, subsamplesOf } from './support.js';

const SET_A = [154, 148, 161, 139, 170];
const SET_B = [98, 143, 171, 120, 205, 134];
const SET_D = [0, 3, 11, 2, 25, 6, 1, 14];
const codes = (result: { warnings: readonly { code: string }[] }): string[] => result.warnings.map(({ code }) => code);

describe('log-scale t limits with Poisson floor (values by SciPy 1.10.1, formulas in docs/statistics.md)', () => {
  it('set A: the floor holds, as the scatter is below counting error', () => {
    const { densityPerMl, dispersion, countingErrorAlone, method, degreesOfFreedom } = estimateCount(
      exact(subsamplesOf(SET_A)),
    );
    expect(printed(densityPerMl, 3)).toEqual([139.717, 170.626]);
    expect(printed(countingErrorAlone, 3)).toEqual([143.699, 165.687]);
    expect(dispersion.x2).toBeCloseTo(3.6606, 4);
    expect(dispersion.pUpper).toBeCloseTo(0.4539, 4);
    expect(method).toBe('log-t-with-poisson-floor');
    expect(degreesOfFreedom).toBe(4);
    // The plain t limits of the same counts differ from ours by design: they are not on a log scale and have no floor.
    expect(printed(meanLimits(SET_A) ?? densityPerMl, 3)).toEqual([139.64, 169.16]);
  });

  it('set B: clumped', () => {
    const { densityPerMl, dispersion, countingErrorAlone } = estimateCount(exact(subsamplesOf(SET_B)));
    expect(printed(densityPerMl, 3)).toEqual([110.266, 191.115]);
    expect(printed(countingErrorAlone, 3)).toEqual([135.685, 155.136]);
    expect(dispersion.x2).toBeCloseTo(49.838, 3);
    expect(dispersion.pUpper).toBeCloseTo(1.5e-9, 11);
    expect(printed(meanLimits(SET_B) ?? densityPerMl, 3)).toEqual([105.247, 185.086]);
  });

  it('set D: few and clumped', () => {
    const { densityPerMl, dispersion } = estimateCount(exact(subsamplesOf(SET_D)));
    expect(densityPerMl.low).toBeCloseTo(3.082, 4);
    expect(densityPerMl.high).toBeCloseTo(19.488, 3);
    expect(dispersion.x2).toBeCloseTo(66, 9);
    const [low, high] = printed(meanLimits(SET_D) ?? densityPerMl, 3);
    expect([low, high]).toEqual([0.604, 14.896]);
  });

  it('where the floor holds, known counting error adds to the degrees of freedom (Welch and Satterthwaite by hand)', () => {
    // 60, 75, 66, 60, 75, 66, 67: mean 67, X2 = (49 + 64 + 1 + 49 + 64 + 1 + 0)/67 = 228/67 on 6 degrees, phi .56716.
    const { degreesOfFreedom, contributions, relativeStandardUncertainty } = estimateCount(
      exact(subsamplesOf([60, 75, 66, 60, 75, 66, 67])),
    );
    const phi = 228 / 67 / 6;
    expect(degreesOfFreedom).toBe(Math.floor(6 / phi ** 2));
    expect(relativeStandardUncertainty).toBeCloseTo(1 / Math.sqrt(469), 12);
    const [scatter, rest] = contributions.map(({ relativeStandardUncertainty: u }) => u ** 2 * 469);
    expect(scatter).toBeCloseTo(phi, 10);
    expect(rest).toBeCloseTo(1 - phi, 10);
  });

  it('never narrower than t by the scatter alone: 3 subsamples just below the floor', () => {
    // 90, 103, 107: mean 100, s2 = (100 + 9 + 49)/2 = 79, phi .79; t of 2 degrees, 4.302653, on the log scale.
    const { densityPerMl, contributions } = estimateCount(exact(subsamplesOf([90, 103, 107])));
    expect(Math.log(densityPerMl.high / 100)).toBeCloseTo(4.302653 * Math.sqrt(0.79 / 300), 6);
    expect(contributions.map(({ name }) => name)).toContain('allowance for few subsamples or doubtful history');
  });

  it('unequal volumes: 93.8 per mL, phi 5.980277', () => {
    const { densityPerMl, dispersion } = estimateCount(
      exact(subsamplesOf([40, 98, 71, 110, 150], [0.5, 1, 0.5, 1, 2])),
    );
    expect(densityPerMl.estimate).toBeCloseTo(93.8, 10);
    expect(printed(densityPerMl, 4)).toEqual([68.5557, 128.3401]);
    expect(dispersion.x2 / dispersion.df).toBeCloseTo(5.980277, 6);
  });

  it('unequal volumes without clumping: X2 1.181818, p .8811', () => {
    const { dispersion } = estimateCount(exact(subsamplesOf([52, 98, 47, 110, 210], [0.5, 1, 0.5, 1, 2])));
    expect(dispersion.x2).toBeCloseTo(1.181818, 6);
    expect(dispersion.df).toBe(4);
    expect(dispersion.pUpper).toBeCloseTo(0.8811, 4);
  });

  it('bare limits of two counts: 32.9 to 554.0', () => {
    expect(printed(estimateCount(exact(subsamplesOf([120, 150]))).densityPerMl, 1)).toEqual([32.9, 554]);
  });
});

describe('with own history of CV .08 and 30 degrees of freedom (SciPy 1.10.1)', () => {
  const history = { cv: 0.08, degreesOfFreedom: 30 };

  it('120 and 150: u .0830885, df 139.63', () => {
    const result = estimateCount({ ...exact(subsamplesOf([120, 150])), history });
    expect(result.relativeStandardUncertainty).toBeCloseTo(0.0830885, 7);
    expect(result.degreesOfFreedom).toBeCloseTo(139.63, 2);
    expect(printed(result.densityPerMl, 3)).toEqual([114.549, 159.103]);
    expect(result.method).toBe('own-history');
  });

  it('a single 135: u .117505', () => {
    const result = estimateCount({ ...exact(subsamplesOf([135])), history });
    expect(result.relativeStandardUncertainty).toBeCloseTo(0.117505, 6);
    expect(printed(result.densityPerMl, 3)).toEqual([107.014, 170.305]);
  });

  it('is not used when this sample scatters far more, and says so', () => {
    const counts = subsamplesOf([60, 200, 90]);
    const result = estimateCount({ ...exact(counts), history });
    expect(codes(result)).toContain('history-not-used');
    expect(result.method).toBe('log-t-with-poisson-floor');
    expect(result.densityPerMl).toEqual(estimateCount(exact(counts)).densityPerMl);
  });

  it('is used in full down to p of .01, and widened only as far as the same counts once more would be', () => {
    const passes = estimateCount({ ...exact(subsamplesOf([120, 170])), history });
    expect(codes(passes)).not.toContain('history-in-doubt');
    expect(passes.relativeStandardUncertainty).toBeCloseTo(Math.sqrt(1 / 290 + 0.0064 / 2), 12);
    const doubtful = estimateCount({ ...exact(subsamplesOf([120, 180])), history });
    expect(codes(doubtful)).toContain('history-in-doubt');
    expect(doubtful.method).toBe('own-history');
    const again = estimateCount({ ...exact(subsamplesOf([120, 180, 120, 180])), history });
    expect(codes(again)).toContain('history-not-used');
    expect(doubtful.densityPerMl.high).toBeCloseTo(again.densityPerMl.high, 8);
    const sources = doubtful.contributions.map(({ relativeStandardUncertainty: u }) => u ** 2);
    expect(Math.sqrt(sources.reduce((a, b) => a + b))).toBeCloseTo(doubtful.relativeStandardUncertainty ?? 0, 10);
    expect(doubtful.contributions.map(({ name }) => name)).toContain(
      'allowance for few subsamples or doubtful history',
    );
  });

  it('of fewer than 10 degrees gives way to the starting CV', () => {
    const short = estimateCount({ ...exact(subsamplesOf([135])), history: { cv: 0.02, degreesOfFreedom: 9 } });
    expect(codes(short)).toEqual(expect.arrayContaining(['short-history', 'starting-cv']));
    expect(short.densityPerMl).toEqual(
      estimateCount({ ...exact(subsamplesOf([135])), history: 'starting' }).densityPerMl,
    );
  });
});

describe('volumes and fillings', () => {
  it('uncertainties left out take the preset of 2 % and are listed', () => {
    const { contributions, warnings } = estimateCount({
      container: { volumeMl: 300 },
      subsamples: subsamplesOf(SET_A),
    });
    const presets = contributions.filter(({ source }) => source === 'preset');
    expect(presets.map(({ relativeStandardUncertainty: u }) => u)).toEqual([0.02, 0.02]);
    expect(presets.map(({ name }) => name)).toEqual([
      'volume counted: cell depth or pipette (preset 2 %)',
      'container volume (preset 2 %)',
    ]);
    expect(warnings).toEqual([]);
  });

  it('container error widens the total and not the density', () => {
    const input = { ...exact(subsamplesOf(SET_B), 10), container: { volumeMl: 10, relativeStandardUncertainty: 0.1 } };
    const { densityPerMl, total } = estimateCount(input);
    expect(printed(densityPerMl, 3)).toEqual([110.266, 191.115]);
    expect(total.high / 10).toBeGreaterThan(191.2);
    expect(total.low / 10).toBeLessThan(110.2);
  });

  it('squares of one filling inform the slide only', () => {
    const squares = subsamplesOf([12, 15, 9, 14, 11, 13, 10, 12, 16, 8], 0.001).map((s) => ({
      ...s,
      filling: 'first',
    }));
    const result = estimateCount({ ...exact(squares, 100), history: 'starting' });
    expect(codes(result)).toContain('one-filling');
    expect(result.dispersion.df).toBe(0);
    const single = estimateCount({ ...exact(subsamplesOf([120], 0.01), 100), history: 'starting' });
    expect(result.total.low).toBeCloseTo(single.total.low, 6);
    expect(result.total.high).toBeCloseTo(single.total.high, 6);
  });

  it('fillings with several squares each count as fillings', () => {
    const parts = subsamplesOf([12, 9, 18, 15], 0.001).map((s, i) => ({ ...s, filling: i < 2 ? 'a' : 'b' }));
    const result = estimateCount(exact(parts, 1));
    expect(result.total).toEqual(estimateCount(exact(subsamplesOf([21, 33], 0.002), 1)).total);
  });

  it('nothing counted: from 0 to the exact upper limit', () => {
    const { total, method, relativeStandardUncertainty } = estimateCount(exact(subsamplesOf([0, 0]), 10));
    expect(total.low).toBe(0);
    expect(total.high).toBeCloseTo((3.688879 / 2) * 10, 5);
    expect(method).toBe('counting-error-only');
    expect(relativeStandardUncertainty).toBeNull();
  });

  it('chosen fields, few counted and a lone filling are told', () => {
    const result = estimateCount({ ...exact(subsamplesOf([7])), placement: 'chosen' });
    expect(codes(result)).toEqual(['few-counted', 'one-filling', 'no-history', 'fields-not-random']);
    expect(result.degreesOfFreedom).toBe(1);
  });

  it('a set that is too even is told', () => {
    expect(codes(estimateCount(exact(subsamplesOf([100, 100, 100]))))).toEqual(['too-even']);
  });
});

describe('refusals', () => {
  it.each([
    [{ ...exact([]) }, 'Expected subsamples to be a list of one or more, but got "none"'],
    [{ ...exact(subsamplesOf([1]), 0) }, 'Expected container.volumeMl to be a number above 0, but got 0'],
    [{ ...exact(subsamplesOf([1], 0)) }, 'Expected volumeMl of subsample 1 to be a number above 0, but got 0'],
    [{ ...exact(subsamplesOf([1])), level: 1 }, 'Expected level to be a number from 0.5 to 0.9999, but got 1'],
    [
      { ...exact(subsamplesOf([1])), volumeRelativeStandardUncertainty: -1 },
      'Expected volume counted: cell depth or pipette to be a part from 0 to 1, but got -1',
    ],
  ])('%#', (input, message) => {
    expect(() => estimateCount(input)).toThrow(message);
  });
});
