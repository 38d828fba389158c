import { describe, expect, it } from 'vitest';
import { estimateGrowth, targetForShare } from '../../packages/estimation/src/estimate-growth.js';
import { fitCurve } from '../../packages/estimation/src/fit-curve.js';
import { fitLine, lineAt, slopeLimits, whereLineReaches } from '../../packages/estimation/src/fit-line.js';
import { GOMPERTZ, LOGISTIC } from '../../packages/estimation/src/growth-curves.js';
import { lastDigits, printed } from './support.js';

const DAYS = [2, 4, 6, 8, 10, 12, 14];
const LENGTHS = [82, 101, 126, 152, 181, 214, 247];
const codes = (result: { warnings: readonly { code: string }[] }): string[] => result.warnings.map(({ code }) => code);

describe('82 to 247 um on days 2 to 14 (SciPy 1.10.1)', () => {
  const line = fitLine(DAYS, LENGTHS);
  it('line 46.71429 + 13.85714 a day (12.46847 to 15.24582)', () => {
    expect(line.intercept).toBeCloseTo(46.71429, 5);
    expect(line.slopeSe).toBeCloseTo(0.5402192, 7);
    expect(line.residualSd).toBeCloseTo(5.717142, 6);
    expect(slopeLimits(line).estimate).toBeCloseTo(13.85714, 5);
    expect(printed(slopeLimits(line), 5)).toEqual([12.46847, 15.24582]);
  });
  it('mean on day 16: 268.4286 (256.008 to 280.849), a new sample 249.187 to 287.671', () => {
    expect(lineAt(line, 16, 'line').estimate).toBeCloseTo(268.4286, 4);
    expect(printed(lineAt(line, 16, 'line'), 3)).toEqual([256.008, 280.849]);
    const newSample = lineAt(line, 16, 'new point');
    expect(lastDigits(newSample.low, 249.187, 3)).toBeLessThan(1);
    expect(lastDigits(newSample.high, 287.671, 3)).toBeLessThan(1);
  });
  it('day to 290: 17.5567 (16.6057 to 18.7016), a new sample 16.1589 to 19.1485', () => {
    const reached = whereLineReaches(line, 290, 'line');
    expect(reached?.estimate).toBeCloseTo(17.5567, 4);
    expect(reached && printed(reached, 4)).toEqual([16.6057, 18.7016]);
    const newSample = whereLineReaches(line, 290, 'new point');
    expect(lastDigits(newSample?.low, 16.1589, 4)).toBeLessThan(1);
    expect(lastDigits(newSample?.high, 19.1485, 4)).toBeLessThan(1);
  });
  it('80 % above 290 with an SD of 25: day 19.075', () => {
    const target = targetForShare(290, 0.8, 25);
    expect(whereLineReaches(line, target, 'line')?.estimate).toBeCloseTo(19.075, 3);
  });
  it('shows the spread between models: 17.6 by line, 15.3 exponential (14.6923 to 16.0467)', () => {
    const growth = estimateGrowth({ days: DAYS, lengthsUm: LENGTHS, targetUm: 290 });
    const day = (name: string) => growth.models.find(({ model }) => model === name)?.dayToTarget;
    expect(day('linear')?.estimate).toBeCloseTo(17.5567, 4);
    expect(day('exponential')?.estimate).toBeCloseTo(15.3215, 4);
    expect([day('exponential')?.low, day('exponential')?.high].map((d) => d?.toFixed(4))).toEqual([
      '14.6923',
      '16.0467',
    ]);
    expect(growth.specificRatePerDay.estimate).toBeCloseTo(0.092356, 6);
    expect(growth.spread?.earliest).toBeLessThan(growth.spread?.latest ?? 0);
    expect(codes(growth)).toContain('models-disagree');
  });
  it('refuses a day more than a third of the span ahead', () => {
    const growth = estimateGrowth({
      days: DAYS,
      lengthsUm: LENGTHS,
      targetUm: 290,
      shareAbove: { share: 0.8, sdUm: 25 },
    });
    expect(growth.models.find(({ model }) => model === 'linear')?.dayToTarget).toBeNull();
    expect(codes(growth)).toContain('forecast-too-far');
  });
});

describe('ten means on days 0 to 18 (R 4.2.2 nls)', () => {
  const days = [0, 2, 4, 6, 8, 10, 12, 14, 16, 18];
  const lengthsUm = [70, 84, 103, 123, 146, 170, 196, 219, 243, 262];
  const growth = estimateGrowth({ days, lengthsUm, targetUm: 290 });
  it('Gompertz 557.858, .0579160, 12.95137; 290 on day 20.2776 (19.6658 to 20.8894)', () => {
    const gompertz = growth.models.find(({ model }) => model === 'gompertz');
    expect(lastDigits(gompertz?.parameters['asymptoteUm'], 557.858, 3)).toBeLessThan(1);
    expect(gompertz?.parameters['ratePerDay']).toBeCloseTo(0.057916, 6);
    // R stops at a tolerance of 1e-5; SciPy 1.10.1 run to the end gives 557.85873 and 12.951380 as we do.
    expect(gompertz?.parameters['inflectionDay']).toBeCloseTo(12.95138, 5);
    expect(gompertz?.residualSd).toBeCloseTo(2.079409, 6);
    expect(gompertz?.dayToTarget?.estimate).toBeCloseTo(20.2776, 4);
    expect(gompertz?.dayToTarget && printed(gompertz.dayToTarget, 4)).toEqual([19.6658, 20.8894]);
  });
  it('logistic 369.4463, 11.16811, 7.548353, the better of the two here', () => {
    const logistic = growth.models.find(({ model }) => model === 'logistic');
    expect(logistic?.parameters['asymptoteUm']).toBeCloseTo(369.4463, 3);
    expect(logistic?.parameters['inflectionDay']).toBeCloseTo(11.16811, 4);
    expect(logistic?.parameters['scaleDays']).toBeCloseTo(7.548353, 4);
    expect(logistic?.residualSd).toBeCloseTo(1.01309, 5);
    expect(growth.chosen).toBe('logistic');
  });
});

describe('curves against certified and printed fits', () => {
  it('NIST Rat42: 72.46224, 2.618077, .06735920 with their standard errors', () => {
    const xs = [9, 14, 21, 28, 42, 57, 63, 70, 79];
    const ys = [8.93, 10.8, 18.59, 22.33, 39.35, 56.11, 61.73, 64.62, 67.08];
    const fit = fitCurve(LOGISTIC, { xs, ys }, [75, 40, 15]);
    const [b1, middle, scale] = fit?.parameters ?? [];
    expect(b1).toBeCloseTo(72.46224, 5);
    expect(middle / scale).toBeCloseTo(2.618077, 6);
    expect(1 / scale).toBeCloseTo(0.0673592, 7);
    expect(fit?.residualSquares).toBeCloseTo(8.0565229338, 8);
    expect(fit?.residualSd).toBeCloseTo(1.1587725499, 8);
    expect(fit?.standardErrors[0]).toBeCloseTo(1.7340283401, 6);
    // b3 = 1/scale, so its standard error is that of scale over scale squared.
    expect((fit?.standardErrors[2] ?? 0) / scale ** 2).toBeCloseTo(0.0034465663377, 8);
  });
  it('R DNase run 1 on ln(concentration): logistic 2.34518, 1.48309, 1.04146, sigma .0191945; Gompertz 4.60333', () => {
    const concentration = [0.04882812, 0.1953125, 0.390625, 0.78125, 1.5625, 3.125, 6.25, 12.5].flatMap((c) => [c, c]);
    const ys = [
      0.017, 0.018, 0.121, 0.124, 0.206, 0.215, 0.377, 0.374, 0.614, 0.609, 1.019, 1.001, 1.334, 1.364, 1.73, 1.71,
    ];
    const xs = concentration.map(Math.log);
    const logistic = fitCurve(LOGISTIC, { xs, ys }, [2, 1, 1]);
    [2.34518, 1.48309, 1.04146].forEach((source, i) => {
      expect(lastDigits(logistic?.parameters[i], source, 5)).toBeLessThan(1);
    });
    expect(logistic?.residualSd).toBeCloseTo(0.0191945, 4);
    const gompertz = fitCurve(GOMPERTZ, { xs, ys }, [3, 0.5, 1]);
    expect(gompertz?.parameters[0]).toBeCloseTo(4.60333, 3);
    // R's form is A exp(-b2 b3^x): b2 = exp(k ti), b3 = exp(-k).
    const [, k, ti] = gompertz?.parameters ?? [];
    expect(Math.exp(k * ti)).toBeCloseTo(2.27134, 3);
    expect(Math.exp(-k)).toBeCloseTo(0.716467, 4);
  });
  it('does not fit as many points as parameters', () => {
    expect(fitCurve(LOGISTIC, { xs: [1, 2, 3], ys: [1, 2, 3] }, [4, 2, 1])).toBeNull();
  });
});

describe('straight lines against other programs', () => {
  it('GUM H.3, thermometer: -.17120379 (.0028776), .00218270 (.00066794), r -.930, s .0035 (JCGM 100:2008)', () => {
    const t = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.01, 26.511];
    const b = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.16];
    const line = fitLine(
      t.map((one) => one - 20),
      b,
    );
    expect(line.intercept).toBeCloseTo(-0.17120379, 8);
    expect(line.interceptSe).toBeCloseTo(0.0028776, 7);
    expect(line.slope).toBeCloseTo(0.0021827, 7);
    expect(line.slopeSe).toBeCloseTo(0.00066794, 8);
    expect(line.correlation).toBeCloseTo(-0.93043, 5);
    expect(line.residualSd).toBeCloseTo(0.00349756, 8);
    const at30 = lineAt(line, 10, 'line');
    expect(at30.estimate).toBeCloseTo(-0.1493768, 7);
    // Standard uncertainty .0041386 (printed .0041) times t of 9 degrees.
    expect((at30.high - at30.low) / 2 / 2.262157).toBeCloseTo(0.0041386, 7);
  });
  it('NIST StRD Norris, 36 points (certified): -.262323073774029 (.232818234301152), 1.00211681802045 (.000429796848)', () => {
    const points = [
      [0.2, 0.1, 337.4, 338.8, 118.2, 118.1, 884.6, 888, 10.1, 9.2, 226.5, 228.1, 666.3, 668.5, 996.3, 998.5],
      [448.6, 449.1, 777, 778.9, 558.2, 559.2, 0.4, 0.3, 0.6, 0.1, 775.5, 778.1, 666.9, 668.8, 338, 339.3],
      [447.5, 448.9, 11.6, 10.8, 556, 557.7, 228.1, 228.3, 995.8, 998, 887.6, 888.8, 120.2, 119.6, 0.3, 0.3],
      [0.3, 0.6, 556.8, 557.6, 339.1, 339.3, 887.2, 888, 999, 998.5, 779, 778.9, 11.1, 10.2, 118.3, 117.6],
      [229.2, 228.9, 669.1, 668.4, 448.9, 449.2, 0.5, 0.2],
    ].flat();
    const line = fitLine(
      points.filter((_, i) => i % 2 === 0),
      points.filter((_, i) => i % 2 === 1),
    );
    expect(points).toHaveLength(72);
    expect(line.intercept).toBeCloseTo(-0.262323073774029, 9);
    expect(line.interceptSe).toBeCloseTo(0.232818234301152, 11);
    expect(line.slope).toBeCloseTo(1.00211681802045, 12);
    expect(line.slopeSe).toBeCloseTo(0.000429796848199937, 14);
    expect(line.residualSd).toBeCloseTo(0.884796396144373, 11);
  });
  it('ruled lines 12.3 to 2513.5 px: 500.22 px a mm (500.0504 to 500.3896), u .06110101 (SciPy 1.10.1)', () => {
    const line = fitLine([0, 1, 2, 3, 4, 5], [12.3, 512.9, 1012.6, 1513.4, 2013.2, 2513.5]);
    expect(line.slope).toBeCloseTo(500.22, 10);
    expect(line.slopeSe).toBeCloseTo(0.06110101, 8);
    expect(line.residualSd).toBeCloseTo(0.2556039, 7);
    expect(printed(slopeLimits(line), 4)).toEqual([500.0504, 500.3896]);
  });
  it.each([
    [3, 0.707107],
    [6, 0.239046],
    [11, 0.0953463],
    [21, 0.0360375],
  ])('%d ruled lines leave a scale uncertainty of %f residual SD', (n, ratio) => {
    const xs = Array.from({ length: n }, (_, i) => i);
    const line = fitLine(
      xs,
      xs.map((x) => x + (x % 2 === 0 ? 0.1 : -0.1)),
    );
    expect(line.slopeSe / line.residualSd).toBeCloseTo(ratio, 6);
  });
  it('weights count like repeats', () => {
    const weighted = fitLine([0, 1, 2], [0, 2, 3], [1, 2, 1]);
    const repeated = fitLine([0, 1, 1, 2], [0, 2, 2, 3]);
    expect(weighted.slope).toBeCloseTo(repeated.slope, 12);
    expect(weighted.intercept).toBeCloseTo(repeated.intercept, 12);
  });
});

describe('CV-39: 75 to 310 um in 18 days (derived)', () => {
  const growth = estimateGrowth({ days: [0, 18], lengthsUm: [75, 310], targetUm: 330 });
  it('13.06 um a day, specific rate .0788 a day', () => {
    expect(growth.ratePerDayUm.estimate).toBeCloseTo(13.06, 2);
    expect(growth.specificRatePerDay.estimate).toBeCloseTo(0.0788, 4);
  });
  it('two dates have no scatter, so no day is given', () => {
    expect(growth.models.every(({ dayToTarget }) => dayToTarget === null)).toBe(true);
    expect(growth.chosen).toBe('linear');
    expect(codes(growth)).toEqual(['few-for-models']);
  });
});

describe('edges', () => {
  it('shrinking larvae never reach the length', () => {
    const growth = estimateGrowth({ days: [0, 1, 2, 3], lengthsUm: [100, 98, 95, 94], targetUm: 200 });
    expect(growth.models.every(({ dayToTarget }) => dayToTarget === null)).toBe(true);
    expect(codes(growth)).toContain('target-not-reached');
  });
  it('a curve that levels off below the target never reaches it', () => {
    const days = [0, 2, 4, 6, 8, 10, 12, 14];
    const lengthsUm = days.map((t) => 200 / (1 + Math.exp((5 - t) / 2)) + (t % 4 === 0 ? 0.5 : -0.5));
    const growth = estimateGrowth({ days, lengthsUm, targetUm: 300 });
    expect(growth.models.find(({ model }) => model === 'logistic')?.dayToTarget).toBeNull();
    expect(codes(growth)).toContain('target-not-reached');
  });
  it('a flat line sets no limits of the day', () => {
    expect(whereLineReaches(fitLine([0, 1, 2, 3], [5, 5.1, 4.9, 5.05]), 9, 'line')).toBeNull();
  });
  it.each([
    [{ days: [1], lengthsUm: [5] }, 'Expected days to be a list of two or more, but got 1'],
    [{ days: [1, 2], lengthsUm: [5] }, 'Expected lengthsUm to be a list of 2, as long as days, but got 1'],
    [{ days: [1, 2], lengthsUm: [5, 0] }, 'Expected a length to be a number of micrometres above 0'],
    [{ days: [2, 2], lengthsUm: [5, 6] }, 'Expected days to be a list with two or more different days, but got "2"'],
    [
      { days: [1, 2], lengthsUm: [5, 6], shareAbove: { share: 1, sdUm: 2 } },
      'Expected shareAbove to be a share between 0 and 1',
    ],
  ])('refuses %#', (input, message) => {
    expect(() => estimateGrowth(input)).toThrow(message);
  });
});
