import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { estimateCount, handTally, type CountEstimate, type CountInput, type Subsample } from '@veligrid/estimation';

const RUNS = { numRuns: 400, seed: 20 };

const history = fc.oneof(
  fc.constant('none' as const),
  fc.constant('starting' as const),
  fc.record({ cv: fc.double({ min: 0, max: 0.5, noNaN: true }), degreesOfFreedom: fc.integer({ min: 1, max: 60 }) }),
);
const uncertainty = fc.constantFrom(0, 0, 0.02, 0.1);
const subsample = fc.record({
  count: fc.oneof(fc.integer({ min: 0, max: 12 }), fc.integer({ min: 0, max: 600 })).map((n) => handTally(n)),
  volumeMl: fc.constantFrom(0.5, 1, 1, 1, 2),
});
const input = fc.record({
  container: fc.record({
    volumeMl: fc.constantFrom(50, 300, 20_000),
    relativeStandardUncertainty: uncertainty,
  }),
  volumeRelativeStandardUncertainty: uncertainty,
  history,
  subsamples: fc.array(subsample, { minLength: 1, maxLength: 9 }),
});

const TINY = 1e-9;
function expectNotWider(after: CountEstimate, before: CountEstimate): void {
  expect(after.total.estimate).toBeCloseTo(before.total.estimate, 5);
  expect(after.total.high).toBeLessThanOrEqual(before.total.high * (1 + TINY));
  expect(after.total.low).toBeGreaterThanOrEqual(before.total.low * (1 - TINY));
}
function expectSame(one: CountEstimate, other: CountEstimate, factor = 1): void {
  for (const key of ['estimate', 'low', 'high'] as const) {
    expect(one.total[key]).toBeCloseTo(other.total[key] * factor, 5 - Math.log10(1 + one.total[key]));
  }
}

describe('laws of a total', () => {
  it('the order of subsamples changes nothing', () => {
    fc.assert(
      fc.property(input, fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 9 }), (count, keys) => {
        const subsamples = count.subsamples
          .map((one, i) => ({ one, key: keys[i] }))
          .sort((a, b) => a.key - b.key)
          .map(({ one }) => one);
        expect(estimateCount({ ...count, subsamples })).toEqual(estimateCount(count));
      }),
      RUNS,
    );
  });

  it('a container of twice the volume has exactly twice the total', () => {
    fc.assert(
      fc.property(input, (count) => {
        const { total } = estimateCount(count);
        const double = { ...count.container, volumeMl: count.container.volumeMl * 2 };
        const twice = estimateCount({ ...count, container: double }).total;
        expect([twice.estimate, twice.low, twice.high]).toEqual([total.estimate * 2, total.low * 2, total.high * 2]);
      }),
      RUNS,
    );
  });

  it('half the volume on the slide for the same counts doubles the total', () => {
    fc.assert(
      fc.property(input, (count) => {
        const half = count.subsamples.map((one) => ({ ...one, volumeMl: one.volumeMl / 2 }));
        expectSame(estimateCount({ ...count, subsamples: half }), estimateCount(count), 2);
      }),
      RUNS,
    );
  });

  it.each([2, 3])('the whole set %d times over never widens', (copies) => {
    fc.assert(
      fc.property(input, (count) => {
        const repeated: Subsample[] = Array.from({ length: copies }, () => count.subsamples).flat();
        expectNotWider(estimateCount({ ...count, subsamples: repeated }), estimateCount(count));
      }),
      RUNS,
    );
  });

  it('two or more and another just at their mean never widen', () => {
    // Counts that are multiples of their number have a whole mean.
    const whole = input.chain((count) =>
      fc
        .array(fc.integer({ min: 0, max: 150 }), { minLength: 2, maxLength: 8 })
        .map((raw) => raw.map((n) => n * raw.length))
        .map((counts): { before: CountInput; mean: number } => ({
          before: { ...count, subsamples: counts.map((n) => ({ count: handTally(n), volumeMl: 1 })) },
          mean: counts.reduce((a, b) => a + b) / counts.length,
        })),
    );
    fc.assert(
      fc.property(whole, ({ before, mean }) => {
        const after = [...before.subsamples, { count: handTally(mean), volumeMl: 1 }];
        expectNotWider(estimateCount({ ...before, subsamples: after }), estimateCount(before));
      }),
      RUNS,
    );
  });

  it('one subsample is never surer than two equal ones with the same history', () => {
    const withHistory = fc.record({ count: fc.integer({ min: 0, max: 2000 }), count2: input, kept: history });
    fc.assert(
      fc.property(withHistory, ({ count, count2, kept }) => {
        const one = { count: handTally(count), volumeMl: 1 };
        const single = estimateCount({ ...count2, history: kept, subsamples: [one] });
        expectNotWider(estimateCount({ ...count2, history: kept, subsamples: [one, one] }), single);
      }),
      RUNS,
    );
  });

  it('is never inside counting error alone, and never NaN or infinite, however odd the input', () => {
    const odd = fc.record({
      container: fc.record({
        volumeMl: fc.constantFrom(1e-6, 1, 1e12),
        relativeStandardUncertainty: fc.constantFrom(0, 1),
      }),
      volumeRelativeStandardUncertainty: fc.constantFrom(0, 1),
      level: fc.constantFrom(0.5, 0.95, 0.9999),
      history: fc.oneof(
        history,
        fc.constant({ cv: 3, degreesOfFreedom: 1e-3 }),
        fc.constant({ cv: 3, degreesOfFreedom: 1e6 }),
      ),
      subsamples: fc.array(
        fc.record({
          count: fc.constantFrom(0, 0, 1, 2, 1000, 1e9).map((n) => handTally(n)),
          volumeMl: fc.constantFrom(1e-6, 1, 1e6),
          steps: fc.constantFrom([], [{ takenMl: 1e-6, madeUpToMl: 1e6 }], [{ takenMl: 1e6, madeUpToMl: 1e-6 }]),
        }),
        { minLength: 1, maxLength: 4 },
      ),
    });
    fc.assert(
      fc.property(odd, (count) => {
        const result = estimateCount(count);
        for (const { estimate, low, high } of [result.total, result.densityPerMl, result.countingErrorAlone]) {
          expect([estimate, low, high].every(Number.isFinite)).toBe(true);
          expect(low >= 0 && low <= estimate * (1 + TINY) && estimate <= high * (1 + TINY)).toBe(true);
        }
        expect(result.total.low).toBeLessThanOrEqual(result.countingErrorAlone.low * (1 + TINY));
        expect(result.total.high).toBeGreaterThanOrEqual(result.countingErrorAlone.high * (1 - TINY));
        expect(JSON.stringify(result)).not.toMatch(/NaN|Infinity/);
      }),
      { numRuns: 300, seed: 4 },
    );
  });
});
