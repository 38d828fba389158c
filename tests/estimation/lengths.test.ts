import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { handLengths, sameDistribution } from '@veligrid/estimation';
import { estimateLengths, meanLengthUncertainty } from '../../packages/estimation/src/estimate-lengths.js';
import { weightedMean, wholeInFrameWeight } from '../../packages/estimation/src/frame-weights.js';
import { histogramOf } from '../../packages/estimation/src/histogram.js';
import { lengthsForMean, lengthsForPercentile } from '../../packages/estimation/src/lengths-for-precision.js';
import { meanDifference } from '../../packages/estimation/src/mean-limits.js';
import { percentileRanks } from '../../packages/estimation/src/percentiles.js';
import { logisticKept, passingOpening, screenShare } from '../../packages/estimation/src/screen.js';
import { normalLower } from '../../packages/estimation/src/special-functions.js';
import { twoGroups } from '../../packages/estimation/src/two-groups.js';
import { normalFrom, seededRandom } from '../support/seeded-random.js';
import { printed } from './support.js';

const TEN = [214, 221, 208, 230, 217, 225, 219, 211, 223, 216];
const LATER = [226, 233, 219, 241, 229, 238, 224, 231, 222, 235];
const codes = (result: { warnings: readonly { code: string }[] }): string[] => result.warnings.map(({ code }) => code);

describe('ten lengths (SciPy 1.10.1)', () => {
  const { mean, sd, percentiles, twoGroups: groups } = estimateLengths(handLengths(TEN));
  it('mean 218.4 (213.6525 to 223.1475)', () => {
    expect(mean?.estimate).toBeCloseTo(218.4, 10);
    expect(mean && printed(mean, 4)).toEqual([213.6525, 223.1475]);
  });
  it('SD 6.636599 (4.564886 to 12.11584)', () => {
    expect(sd?.estimate).toBeCloseTo(6.636599, 6);
    expect(sd?.low).toBeCloseTo(4.564886, 6);
    expect(sd?.high).toBeCloseTo(12.11584, 5);
  });
  it('percentiles 210.7, 218, 225.5', () => {
    expect(percentiles.p10.estimate).toBeCloseTo(210.7, 10);
    expect(percentiles.p50.estimate).toBeCloseTo(218, 10);
    expect(percentiles.p90.estimate).toBeCloseTo(225.5, 10);
    expect(percentiles.p10.low).toBeNull();
    expect(percentiles.p90.high).toBeNull();
  });
  it('one group', () => {
    expect(groups).toBeNull();
  });
  it('Welch against ten later ones: t 3.7008, df 17.908, 11.4 (4.926 to 17.874)', () => {
    const difference = meanDifference(TEN, LATER);
    expect(difference.t).toBeCloseTo(3.7008, 4);
    expect(difference.degreesOfFreedom).toBeCloseTo(17.908, 3);
    expect(difference.estimate).toBeCloseTo(11.4, 10);
    expect(printed(difference, 3)).toEqual([4.926, 17.874]);
    expect(difference.p).toBeLessThan(0.002);
  });
});

describe('two sets of lengths as a whole (Kolmogorov and Smirnov)', () => {
  const a = [214.2, 221.1, 208.3, 230.4, 217.5, 225.6, 219.7, 211.8, 223.9, 216.0];
  const b = [226.1, 233.2, 219.3, 241.4, 229.5, 238.6, 224.7, 231.8, 222.9, 235.1];
  it('D .6, exact p .0524476, by series .05465 (SciPy 1.10.1 and R 4.2.2)', () => {
    const exact = sameDistribution(a, b);
    expect(exact.d).toBeCloseTo(0.6, 12);
    expect(exact.p).toBeCloseTo(0.0524476, 7);
    expect(exact.method).toBe('exact');
    expect(sameDistribution(a, b, 'series').p).toBeCloseTo(0.05465, 5);
    expect(sameDistribution(b, a)).toEqual(exact);
  });
  it('two against one, apart: as far apart as 2 of the 3 orders', () => {
    expect(sameDistribution([1, 2], [3]).d).toBe(1);
    expect(sameDistribution([1, 2], [3]).p).toBeCloseTo(2 / 3, 14);
  });
  it('the same lengths do not differ', () => {
    expect(sameDistribution(a, a)).toMatchObject({ d: 0, p: 1 });
  });
  it('goes over to the series beyond 10,000 pairs, and refuses an empty set', () => {
    const many = Array.from({ length: 101 }, (_, i) => i);
    expect(sameDistribution(many, many).method).toBe('series');
    expect(() => sameDistribution([], a)).toThrow('Expected both sets to be one length or more, but got 0');
  });
});

describe('ranks of percentile limits (SciPy 1.10.1)', () => {
  it.each([
    [20, 0.5, 6, 15, 0.9586],
    [50, 0.5, 18, 33, 0.9672],
    [100, 0.5, 40, 61, 0.9648],
    [100, 0.1, 5, 17, null],
    [100, 0.9, 84, 96, 0.9557],
    [200, 0.9, 171, 189, null],
    [50, 0.9, 41, 50, 0.9703],
  ])('n %d, part %f: %d and %d', (...row) => {
    const [n, part, low, high, coverage] = row;
    const ranks = percentileRanks(n, part);
    expect([ranks.low, ranks.high]).toEqual([low, high]);
    if (coverage !== null) expect(ranks.coverage).toBeCloseTo(coverage, 4);
    expect(ranks.coverage).toBeGreaterThan(0.95);
  });
  it('30 lengths set no lower limit of the tenth percentile', () => {
    expect(percentileRanks(30, 0.1).low).toBeNull();
    expect(() => percentileRanks(30, 1)).toThrow('Expected the percentile to be a part between 0 and 1');
  });
});

describe('two groups', () => {
  it('Old Faithful, 272 waiting times (R 4.2.2; mclust prints 54.61675, 80.09239, 5.868639 with equal SDs)', () => {
    const { waiting } = JSON.parse(
      readFileSync(new URL('../data/old-faithful/waiting.json', import.meta.url), 'utf8'),
    ) as { waiting: number[] };
    const groups = twoGroups([...waiting].sort((a, b) => a - b));
    expect(groups?.small.share).toBeCloseTo(0.361, 3);
    expect(groups?.small.meanUm).toBeCloseTo(54.615, 3);
    expect(groups?.large.meanUm).toBeCloseTo(80.091, 3);
    expect(groups?.small.sdUm).toBeCloseTo(5.87, 2);
    expect(groups?.large.sdUm).toBeCloseTo(5.87, 2);
    expect(groups?.logLikelihood).toBeCloseTo(-1034, 2);
    expect(groups?.bicOne).toBeCloseTo(2201.789, 3);
    expect(groups?.bicTwo).toBeCloseTo(2096.033, 3);
    expect(groups?.distance).toBeCloseTo(4.34, 2);
    expect(groups?.accepted).toBe(true);
  });
  it('24 lengths: two groups, shown with a warning as fewer than 40 (R 4.2.2)', () => {
    const lengths = [
      96, 101, 104, 99, 107, 110, 103, 98, 152, 158, 149, 161, 155, 163, 147, 158, 151, 166, 160, 154, 157, 149, 162,
      153,
    ];
    const result = estimateLengths(handLengths(lengths));
    expect(result.twoGroups?.small.share).toBeCloseTo(1 / 3, 4);
    expect(result.twoGroups?.small.meanUm).toBeCloseTo(102.25, 2);
    expect(result.twoGroups?.large.meanUm).toBeCloseTo(155.94, 2);
    expect(result.twoGroups?.bicOne).toBeCloseTo(230.516, 3);
    expect(result.twoGroups?.distance).toBeCloseTo(10.87, 1);
    expect(result.twoGroups?.accepted).toBe(false);
    expect(codes(result)).toEqual(['two-groups-few']);
  });
  it('one normal group of 300 is not split', () => {
    const normal = normalFrom(seededRandom(2));
    const lengths = Array.from({ length: 300 }, () => 200 + 20 * normal());
    expect(estimateLengths(handLengths(lengths)).twoGroups).toBeNull();
    expect(twoGroups([5, 5, 5, 5, 5, 5, 5, 5, 5])).toBeNull();
  });
});

describe('histogram (rule of Freedman and Diaconis 1981, width rounded up)', () => {
  it('1 to 8: quartiles 2.75 and 6.25, width 2 x 3.5 / 2 = 3.5, rounded to 5', () => {
    expect(histogramOf([1, 2, 3, 4, 5, 6, 7, 8])).toEqual({ startUm: 0, widthUm: 5, counts: [4, 4] });
  });
  it('holds every length', () => {
    const { counts, startUm, widthUm } = histogramOf([...TEN].sort((a, b) => a - b));
    expect(counts.reduce((a, b) => a + b)).toBe(10);
    expect(startUm).toBeLessThanOrEqual(208);
    expect(startUm + widthUm * counts.length).toBeGreaterThan(230);
  });
  it('has bars without spread in the middle, and one bar when all are alike', () => {
    expect(histogramOf([10, 20, 20, 20, 20, 30]).widthUm).toBe(2);
    expect(histogramOf([7, 7])).toEqual({ startUm: 7, widthUm: 1, counts: [2] });
  });
});

describe('screens (geometry derived; SciPy 1.10.1)', () => {
  it.each([
    [240, 140, 196.47],
    [300, 200, 254.95],
    [240, 60, 174.93],
  ])('height %d, thickness %d passes %f um', (h, t, opening) => {
    expect(passingOpening(h, t)).toBeCloseTo(opening, 2);
  });
  it.each([
    [0.6, 0.825],
    [0.4, 0.762],
    [0.8, 0.906],
  ])('a thickness of %f passes an opening of %f heights', (thickness, opening) => {
    expect(passingOpening(1, thickness)).toBeCloseTo(opening, 3);
  });
  it('the preset is shown and told, a fitted thickness is not', () => {
    const preset = estimateLengths(handLengths(TEN), { screenUm: 180 });
    expect(preset.screen?.thickness).toBe(0.6);
    expect(codes(preset)).toEqual(['preset-thickness']);
    const fitted = estimateLengths(handLengths(TEN), { screenUm: 180, fittedThickness: 0.7 });
    expect([fitted.screen?.thickness, ...codes(fitted)]).toEqual([0.7]);
  });
  it('a paper-thin shell passes an opening of its height over root 2', () => {
    expect(passingOpening(48 * Math.SQRT2, 0)).toBeCloseTo(48, 10);
  });
  it('keeps those whose section is larger, by the smaller of length and height', () => {
    const shells = [
      { lengthUm: 240, heightUm: 260 },
      { lengthUm: 320, heightUm: 300 },
      { lengthUm: 400, heightUm: 240 },
    ];
    const geometry = screenShare(shells, 220, { thickness: 140 / 240 });
    expect(geometry.kept.estimate).toBeCloseTo(1 / 3, 12);
    expect(geometry.basis).toBe('upper bound');
    expect(screenShare(shells, 220, { thickness: 0.9, fitted: true })).toMatchObject({ basis: 'fitted' });
    expect(() => screenShare(shells, 0)).toThrow('Expected the screen to be an aperture above 0 um, but got 0');
    expect(() => screenShare(shells, 9, { thickness: 0 })).toThrow('Expected the thickness');
  });
  it('logistic L50 218, SR 12 over the ten: .512034', () => {
    expect(logisticKept(TEN, { l50Um: 218, selectionRangeUm: 12 })).toBeCloseTo(0.512034, 6);
  });
  it('normal 240/22 above 210: .913659', () => {
    expect(1 - normalLower((210 - 240) / 22)).toBeCloseTo(0.913659, 6);
  });
  it('is part of the estimate, with heights where there are some', () => {
    const result = estimateLengths(handLengths(TEN), {
      screenUm: 180,
      heightsUm: TEN.map((l) => l + 10),
      aboveUm: 216,
    });
    expect(result.screen?.apertureUm).toBe(180);
    expect(result.screen?.kept.estimate).toBe(
      screenShare(
        TEN.map((l) => ({ lengthUm: l, heightUm: l })),
        180,
      ).kept.estimate,
    );
    expect(result.above).toMatchObject({ lengthUm: 216, estimate: 0.6 });
    expect(estimateLengths(handLengths(TEN), { screenUm: 180, fittedThickness: 0.8, level: 0.9 }).screen?.basis).toBe(
      'fitted',
    );
  });
});

describe('lengths of whole larvae in a frame that cuts others (weights of Miles and Lantuejoul)', () => {
  const frame = { width: 1000, height: 1000 };
  it.each([
    [70, 80, 1.16877],
    [150, 160, 1.40056],
    [300, 300, 2.040816],
  ])('%d x %d: %f', (width, height, weight) => {
    expect(wholeInFrameWeight({ width, height }, frame)).toBeCloseTo(weight, 6);
  });
  it('80, 80, 80 and 300 seen: 160.3868, not 135', () => {
    const lengths = [80, 80, 80, 300];
    const weights = lengths.map((d) => wholeInFrameWeight({ width: d, height: d }, frame));
    expect(weightedMean(lengths, weights)).toBeCloseTo(160.3868, 4);
    expect(weightedMean(lengths, [1, 1, 1, 1])).toBe(135);
  });
  it('refuses an object of more than half the frame', () => {
    expect(() => wholeInFrameWeight({ width: 501, height: 10 }, frame)).toThrow(
      'at most half as wide and high as the frame',
    );
  });
});

describe('how many lengths (derived; SciPy 1.10.1)', () => {
  const wanted = { cv: 0.1, part: 0.02 };
  it('96.04 for the mean, 150.85 for the median, 369.2 for P10, 220.5 for P90', () => {
    expect(lengthsForMean(wanted)).toBeCloseTo(96.04, 2);
    expect(lengthsForPercentile(0.5, wanted)).toBeCloseTo(150.85, 2);
    expect(lengthsForPercentile(0.1, wanted)).toBeCloseTo(369.2, 1);
    expect(lengthsForPercentile(0.9, wanted)).toBeCloseTo(220.5, 1);
  });
});

describe('edges', () => {
  it('one length has no limits', () => {
    const result = estimateLengths(handLengths([200]));
    expect([result.mean, result.sd, result.twoGroups]).toEqual([null, null, null]);
    expect(codes(result)).toEqual(['few-lengths']);
  });
  it('refuses none, a length of 0 and heights of another number', () => {
    expect(() => estimateLengths(handLengths([]))).toThrow('Expected lengthsUm to be a list of one or more');
    expect(() => handLengths([0])).toThrow(
      'Expected a length to be a number of micrometres above 0 and below 1e6, but got 0',
    );
    expect(() => estimateLengths(handLengths([5]), { heightsUm: [] })).toThrow(
      'a list of 1, as long as lengthsUm, but got 0',
    );
  });
  it('uncertainty of a mean: 20 over root 100, 0.1 % of 250 and an offset of 1', () => {
    expect(meanLengthUncertainty({ sdUm: 20, n: 100, meanUm: 250, scaleRelative: 0.001, offsetUm: 1 })).toBeCloseTo(
      Math.sqrt(4 + 0.0625 + 1),
      12,
    );
  });
});
