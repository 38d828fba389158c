import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { binomialUpperTail, mcNemar } from '../../../packages/imaging/src/stage/learn/binomial.js';
import { blendNormal } from '../../../packages/imaging/src/stage/learn/blend.js';
import { agreementOf } from '../../../packages/imaging/src/stage/learn/confusion.js';
import { cutPoint } from '../../../packages/imaging/src/stage/rules/cut-point.js';
import { discriminant, shrunk } from '../../../packages/imaging/src/stage/rules/discriminant.js';
import { fitDiscriminant, type Labelled } from '../../../packages/imaging/src/stage/rules/fit-discriminant.js';
import { ledoitWolf } from '../../../packages/imaging/src/stage/rules/ledoit-wolf.js';
import { softmax } from '../../../packages/imaging/src/stage/rules/softmax.js';
import { fitTemperature, logLoss } from '../../../packages/imaging/src/stage/rules/temperature.js';
import { shareLimits, wilson } from '../../../packages/imaging/src/stage/share-limits.js';

const FEATURES = ['sepal_length', 'sepal_width', 'petal_length', 'petal_width'];
const rows = JSON.parse(readFileSync(new URL('../../data/iris/iris.json', import.meta.url), 'utf8')) as number[][];
// the stages only stand for three kinds
const KINDS = ['d-larva', 'umbo', 'eyed'] as const;
const irises = rows.map((row, k): Labelled => {
  const kind = KINDS[row[4] ?? 0] ?? 'd-larva';
  const values = Object.fromEntries(FEATURES.map((name, at) => [name, row[at] ?? Number.NaN]));
  return { name: kind, stage: kind, slide: String(k), values };
});

interface Posterior {
  readonly names: string[];
  readonly p: Float64Array;
}

function posteriorOf(train: readonly Labelled[], one: Labelled, features: readonly string[]): Posterior {
  const fitted = fitDiscriminant(train, features, { cut: 0, shrinkage: 0 });
  return { names: fitted.classes.map(({ name }) => name), p: softmax(discriminant(fitted).scores(one.values)) };
}

function errorsLeavingOut(features: readonly string[]): number {
  const wrong = irises.filter((one, k) => {
    const others = irises.filter((_, j) => j !== k);
    const { names, p } = posteriorOf(others, one, features);
    return names[p.indexOf(Math.max(...p))] !== one.name;
  });
  return wrong.length;
}

const covarianceOf = (centred: readonly Float64Array[]): Float64Array[] =>
  Array.from(centred[0] ?? [], (_, i) =>
    Float64Array.from(
      centred[0] ?? [],
      (__, j) => centred.reduce((sum, x) => sum + (x[i] ?? 0) * (x[j] ?? 0), 0) / centred.length,
    ),
  );

describe('the discriminant on irises, against R MASS::lda', () => {
  it('leaving one out calls 3 of 150 wrong, and 6 by the petals alone', () => {
    expect(errorsLeavingOut(FEATURES)).toBe(3);
    expect(errorsLeavingOut(['petal_length', 'petal_width'])).toBe(6);
  });

  it.each([
    [71, 0.253228, 0.746772],
    [84, 0.143392, 0.856608],
    [134, 0.729388, 0.270612],
  ])('gives row %d its posterior', (row, versicolor, virginica) => {
    const one = irises[row - 1];
    if (one === undefined) throw new Error('no such row');
    const { names, p } = posteriorOf(irises, one, FEATURES);
    expect(p[names.indexOf('umbo')]).toBeCloseTo(versicolor, 5);
    expect(p[names.indexOf('eyed')]).toBeCloseTo(virginica, 5);
  });

  it('judges an iris without petals by its sepals alone', () => {
    const [first] = irises;
    if (first === undefined) throw new Error('no irises');
    const whole = fitDiscriminant(irises, FEATURES, { cut: 0, shrinkage: 0 });
    const sepals = fitDiscriminant(irises, FEATURES.slice(0, 2), { cut: 0, shrinkage: 0 });
    const partly = { sepal_length: first.values['sepal_length'], sepal_width: first.values['sepal_width'] };
    const own = softmax(discriminant(whole).scores(partly));
    softmax(discriminant(sepals).scores(first.values)).forEach((p, c) => {
      expect(own[c]).toBeCloseTo(p, 9);
    });
  });
});

describe('shrinkage of Ledoit and Wolf, against scikit-learn', () => {
  it('of six pairs', () => {
    const pairs: readonly (readonly [number, number])[] = [
      [71, 64],
      [75, 69],
      [68, 60],
      [80, 74],
      [73, 66],
      [77, 70],
    ];
    const mean = (at: 0 | 1): number => pairs.reduce((sum, pair) => sum + pair[at], 0) / pairs.length;
    const centred = pairs.map(([a, b]) => Float64Array.of(a - mean(0), b - mean(1)));
    const covariance = covarianceOf(centred);
    const d = ledoitWolf(centred, covariance);
    expect(d).toBeCloseTo(0.3395318827, 9);
    const s = shrunk(
      covariance.map((row) => [...row]),
      d,
    );
    expect(s.get(0, 0)).toBeCloseTo(16.149153, 5);
    expect(s.get(0, 1)).toBeCloseTo(11.558192, 5);
    expect(s.get(1, 1)).toBeCloseTo(19.323069, 5);
  });

  it('of what is left of the irises within their kinds', () => {
    const mean = (kind: number, at: number): number => {
      const own = rows.filter((row) => row[4] === kind);
      return own.reduce((sum, row) => sum + (row[at] ?? 0), 0) / own.length;
    };
    const centred = rows.map((row) => Float64Array.from([0, 1, 2, 3], (at) => (row[at] ?? 0) - mean(row[4] ?? 0, at)));
    expect(ledoitWolf(centred, covarianceOf(centred))).toBeCloseTo(0.039859, 6);
  });
});

describe('blend, cut, temperature and agreement, against SciPy and scikit-learn', () => {
  it('blends a prior of 75 um with eight larvae', () => {
    const prior = { mean: 75, deviation: 6, meanWeight: 10, varianceWeight: 10 };
    const blended = blendNormal(prior, [70, 72, 68, 73, 71, 74, 69, 71]);
    expect(blended.mean).toBeCloseTo(73.2222, 4);
    expect(blended.meanWeight).toBe(18);
    expect(blended.variance).toBeCloseTo(25.506173, 6);
    expect(blended.predictiveScale).toBeCloseTo(5.188755, 6);
  });

  it('cuts between 82 and 105 um', () => {
    const first = { mean: 82, deviation: 8, prior: 0.7 };
    expect(cutPoint(first, { mean: 105, deviation: 8, prior: 0.3 })).toBeCloseTo(95.8577, 4);
    expect(cutPoint({ ...first, prior: 1 }, { mean: 105, deviation: 8, prior: 1 })).toBeCloseTo(93.5, 9);
    expect(cutPoint({ ...first, deviation: 6 }, { mean: 105, deviation: 10, prior: 0.3 })).toBeCloseTo(93.91668, 4);
    expect(() => cutPoint({ ...first, mean: 110 }, { mean: 105, deviation: 8, prior: 1 })).toThrow(
      'Expected second.mean to be above the mean of the first class, but got 105',
    );
  });

  it('tests discordant pairs exactly', () => {
    expect(mcNemar(8, 2)).toBeCloseTo(0.109375, 9);
    expect(mcNemar(0, 10)).toBeCloseTo(0.001953125, 9);
    expect(mcNemar(15, 4)).toBeCloseTo(0.0192108, 7);
    expect(mcNemar(0, 0)).toBe(1);
  });

  it('finds 18 corrections of 150 unlikely at 6 %', () => {
    expect(binomialUpperTail(18, 150, 0.06)).toBeCloseTo(0.00401, 5);
    expect(binomialUpperTail(0, 10, 0.5)).toBe(1);
    expect(binomialUpperTail(11, 10, 0.5)).toBe(0);
  });

  it('finds the temperature of ten judgements', () => {
    const p = [0.95, 0.9, 0.8, 0.7, 0.6, 0.55, 0.3, 0.2, 0.1, 0.05];
    const y = [1, 1, 1, 0, 1, 0, 0, 1, 0, 0];
    const judgements = p.map((own, k) => ({ logits: [0, Math.log(own / (1 - own))], truth: y[k] ?? 0 }));
    expect(logLoss(judgements)).toBeCloseTo(0.501587, 6);
    expect(fitTemperature(judgements)).toBeCloseTo(1.149495, 4);
  });

  it('measures agreement of a table', () => {
    const table = [
      [90, 10, 0],
      [8, 70, 2],
      [1, 4, 15],
    ];
    const agreement = agreementOf({ table });
    expect(agreement.accuracy).toBeCloseTo(0.875, 9);
    expect(agreement.balancedAccuracy).toBeCloseTo(0.841667, 6);
    expect(agreement.kappa).toBeCloseTo(0.782986, 6);
    expect(agreement.quadraticKappa).toBeCloseTo(0.835681, 6);
  });
});

describe('limits of a share', () => {
  // Newcombe 1998, Statistics in Medicine 17:857-872, table I, method 3
  it.each([
    [81, 263, 0.2553, 0.3662],
    [15, 148, 0.0624, 0.1605],
    [0, 20, 0, 0.1611],
    [1, 29, 0.0061, 0.1718],
  ])('of %d in %d', (part, whole, low, high) => {
    expect(wilson(part, whole).low).toBeCloseTo(low, 4);
    expect(wilson(part, whole).high).toBeCloseTo(high, 4);
  });

  it('widen when slides differ (SciPy)', () => {
    const wholes = [60, 70, 75, 72, 74];
    const slides = [58, 49, 66, 40, 71].map((part, k) => ({ part, whole: wholes[k] ?? 0 }));
    const limits = shareLimits(slides);
    expect(limits?.share).toBeCloseTo(0.809117, 6);
    expect(limits?.designEffect).toBeCloseTo(14.59656, 4);
    expect(limits?.low).toBeCloseTo(0.52642, 4);
    expect(limits?.high).toBeCloseTo(0.94174, 4);
    expect(shareLimits([{ part: 0, whole: 0 }])).toBeNull();
  });
});
