import { describe, expect, it } from 'vitest';
import { coverageOf, shortfall, SITUATIONS, type Coverage } from '../../tools/simulation/coverage.js';
import { coverageTable, withTable } from '../../tools/simulation/coverage-table.js';
import { countDraw, poissonDraw, seededDraws } from '../../tools/simulation/draws.js';

const moments = (values: readonly number[]): [number, number] => {
  const mean = values.reduce((a, b) => a + b) / values.length;
  return [mean, values.reduce((sum, x) => sum + (x - mean) ** 2, 0) / (values.length - 1)];
};

describe('draws', () => {
  // Both figures within 5 standard errors of the truth: sd/sqrt(n) of the mean, about var sqrt(2/n) of the variance.
  it.each([0.3, 5, 29, 31, 150, 2000])('Poisson of mean %f has that mean and variance', (mean) => {
    const draws = seededDraws(1);
    const [m, v] = moments(Array.from({ length: 8000 }, () => poissonDraw(mean, draws)));
    expect(Math.abs(m - mean)).toBeLessThan(5 * Math.sqrt(mean / 8000));
    expect(Math.abs(v / mean - 1)).toBeLessThan(5 * Math.sqrt((2 + 1 / mean) / 8000));
  });
  it('Poisson of mean 2: shares of 0, 1 and 2 are those of the closed form', () => {
    const draws = seededDraws(2);
    const counts = Array.from({ length: 20_000 }, () => poissonDraw(2, draws));
    for (const k of [0, 1, 2]) {
      const chance = (Math.exp(-2) * 2 ** k) / (k === 2 ? 2 : 1);
      const share = counts.filter((n) => n === k).length / counts.length;
      expect(Math.abs(share - chance)).toBeLessThan(5 * Math.sqrt((chance * (1 - chance)) / counts.length));
    }
  });
  it('scattered counts have variance m + m^2 cv^2', () => {
    const draws = seededDraws(3);
    const [m, v] = moments(Array.from({ length: 20_000 }, () => countDraw(100, 0.2, draws)));
    expect(Math.abs(m - 100)).toBeLessThan(5 * Math.sqrt(500 / 20_000));
    expect(Math.abs(v / 500 - 1)).toBeLessThan(0.08);
  });
});

describe('limits of totals hold (small slice of npm run long:simulate)', () => {
  const required = SITUATIONS.filter(({ help, subsamples }) => help === 'none' && subsamples >= 3);
  it('has all of 3, 5, 8 subsamples, means 5, 30, 150 and CVs 0, 10, 20 %', () => {
    expect(required).toHaveLength(27);
  });
  it.each(required)('$subsamples subsamples, mean $mean, CV $cv', (situation) => {
    const coverage = coverageOf(situation, 2000, seededDraws(7));
    expect(shortfall(coverage)).toBeNull();
    // Limits that claim less than nominal width would be wrong even if they covered by luck.
    expect(coverage.widthOverIdeal).toBeGreaterThan(1);
  });
  it.each(SITUATIONS.filter(({ help, mean }) => help !== 'none' && mean === 30))(
    '$subsamples subsamples of mean 30, CV $cv, history $help: 93 % or more, less 3 standard errors',
    (situation) => {
      const { covered } = coverageOf(situation, 400, seededDraws(8));
      expect(covered).toBeGreaterThan(0.93 - 3 * Math.sqrt((0.93 * 0.07) / 400));
    },
  );
  it('counting error alone misses far too often when subsamples scatter', () => {
    const { countingAlone } = coverageOf({ subsamples: 5, mean: 150, cv: 0.2, help: 'none' }, 500, seededDraws(9));
    expect(countingAlone).toBeLessThan(0.65);
  });
});

describe('the report', () => {
  const result: Coverage = {
    subsamples: 5,
    mean: 30,
    cv: 0.1,
    help: 'none',
    covered: 0.975,
    countingAlone: 0.9,
    widthOverIdeal: 1.31,
  };
  it('names what is not met', () => {
    expect(shortfall(result)).toBeNull();
    expect(shortfall({ ...result, covered: 0.929 })).toBe(
      '5 subsamples, mean 30, CV 0.1, history none: 0.929 covered, less than 0.93',
    );
    expect(shortfall({ ...result, covered: 0.992 })).toContain('0.992 covered, more than 0.98');
    expect(shortfall({ ...result, covered: 0.992, subsamples: 3 })).toBeNull();
    expect(shortfall({ ...result, covered: 0.929, subsamples: 1, help: 'own' })).toContain('less than 0.93');
  });
  it('is a table between two marks', () => {
    const table = coverageTable([result]);
    expect(table.split('\n')[2]).toBe('| none | 5 | 30 | 10 % | 97.5 | 1.31 | 90.0 |');
    const marks = ['a', '<!-- coverage: written by npm run long:simulate -->', 'old', '<!-- end of coverage -->', 'z'];
    const written = withTable(marks.join('\n'), table);
    expect(written).toContain(table);
    expect(written).not.toContain('old');
    expect(written.startsWith('a\n') && written.endsWith('\nz')).toBe(true);
    expect(() => withTable('no marks', table)).toThrow('lacks the line');
  });
});
