import { describe, expect, it } from 'vitest';
import { estimateCount, estimateGrowth, estimateSurvival, type CountInput } from '@veligrid/estimation';
import { exact, subsamplesOf } from './support.js';

interface Flagged {
  readonly warnings: readonly { readonly code: string; readonly message: string }[];
}
const count = (counts: number[], volumes: number | number[] = 1, more: Partial<CountInput> = {}): Flagged =>
  estimateCount({ ...exact(subsamplesOf(counts, volumes), 100), ...more });
const survival = (first: number, second: number, stocked = 1e9): Flagged =>
  estimateSurvival({
    first: { total: first, relativeStandardUncertainty: 0.05 },
    second: { total: second, relativeStandardUncertainty: 0.05 },
    days: 2,
    stocked,
  });
const growth = (targetUm: number): Flagged =>
  estimateGrowth({ days: [0, 3, 6, 9], lengthsUm: [80, 110, 141, 170], targetUm });

/** Code, a case that must raise it, and one just beside it that must not. */
const flags: readonly (readonly [string, Flagged, Flagged])[] = [
  ['heterogeneous', count([100, 150, 120]), count([100, 130, 120])],
  ['replicate-volume', count([204, 326, 256], [0.05, 0.025, 0.025]), count([204, 326, 256], 0.025)],
  ['yield-over-100', count([50, 50, 50], 1, { eggs: 4999 }), count([50, 50, 50], 1, { eggs: 5000 })],
  ['more-than-stocked', count([50, 50, 50], 1, { stocked: 4999 }), count([50, 50, 50], 1, { stocked: 5000 })],
  ['more-than-stocked', survival(1000, 900, 999), survival(1000, 900, 1000)],
  ['survival-above-1', survival(1000, 1200), survival(1000, 1100)],
  ['few-counted', count([14, 15]), count([15, 15])],
  ['one-filling', count([100]), count([100, 100])],
  ['fields-not-random', count([100, 90], 1, { placement: 'chosen' }), count([100, 90], 1, { placement: 'random' })],
  ['forecast-too-far', growth(220), growth(180)],
  [
    'history-not-used',
    count([60, 200, 90], 1, { history: { cv: 0.08, degreesOfFreedom: 30 } }),
    count([100, 120, 90], 1, { history: { cv: 0.08, degreesOfFreedom: 30 } }),
  ],
];

describe('flags', () => {
  it.each(flags)('%s is raised when it should be and not just beside it', (code, raised, quiet) => {
    const found = raised.warnings.find((one) => one.code === code);
    expect(found?.message).toMatch(/^[A-Z].*\.$/);
    expect(quiet.warnings.map((one) => one.code)).not.toContain(code);
  });
});
