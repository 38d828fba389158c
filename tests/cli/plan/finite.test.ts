import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { VeligridError } from '@veligrid/model';
import { answerPlan } from '@veligrid/season';
import { planText } from '../../../apps/cli/src/plan/text/plan-text.js';
import { isAnswer, isQuestion } from './support.js';

const of = (...values: number[]): fc.Arbitrary<number> => fc.constantFrom(...values);
const maybe = <T>(one: fc.Arbitrary<T>): fc.Arbitrary<T | undefined> => fc.option(one, { nil: undefined });
const limits = (top: number): fc.Arbitrary<object> =>
  fc.tuple(of(0, 1e-6, 0.3, 1), of(0, 0.5, 1), of(1, 2, 1e6)).map(([part, low, high]) => ({
    estimate: part * top,
    low: part * top * low,
    high: Math.min(top, part * top * high + (part === 0 ? high * 1e-9 : 0)),
  }));
const amount = fc.oneof(
  of(0, 1, 5e6, 1e15),
  limits(1e9),
  fc.constant({ container: { volumeMl: 300 }, subsamples: [{ count: 0, volumeMl: 0.5 }] }),
);
const share = fc.oneof(
  of(0, 0.3, 1),
  limits(1),
  fc.constant([
    { positive: 0, of: 5 },
    { positive: 5, of: 5 },
  ]),
);
const density = fc.oneof(of(1e-9, 4e4, 6e6, 1e12), limits(1e9));
const volume = of(1e-3, 1e6, 1e12);
const common = {
  level: maybe(of(0.5, 0.9999)),
  species: maybe(fc.constantFrom('eastern-oyster', 'pacific-oyster', 'hard-clam')),
};
const stage = maybe(fc.constantFrom('d-larva', 'umbo', 'eyed', 'pediveliger'));
const length = of(0.001, 88, 214, 1e5);
const named = <T>(one: fc.Arbitrary<T>, most = 3): fc.Arbitrary<(T & { name: string })[]> =>
  fc.array(one, { minLength: 1, maxLength: most }).map((list) => list.map((item, i) => ({ ...item, name: `n${i}` })));
const kind = (name: string, fields: Record<string, fc.Arbitrary<unknown>>): fc.Arbitrary<object> =>
  fc.record({ kind: fc.constant(name), ...common, ...fields });
const culture = { alga: fc.constantFrom('t-iso', 'tetraselmis-suecica'), cellsPerMl: density };
const rising = fc
  .uniqueArray(fc.integer({ min: 1, max: 30 }), { minLength: 3, maxLength: 8 })
  .map((days) => days.sort((a, b) => a - b));

const questions: readonly (readonly [string, fc.Arbitrary<object>])[] = [
  [
    'egg-pool',
    kind('egg-pool', {
      pool: fc.record({
        container: fc.record({ volumeMl: of(1e-6, 2500, 1e12) }),
        subsamples: fc.array(fc.record({ count: of(0, 1, 300, 1e9), volumeMl: of(1e-6, 0.02, 1e6) }), {
          minLength: 1,
          maxLength: 3,
        }),
      }),
      fertilised: maybe(share),
      tanks: named(fc.record({ volumeMl: volume, perMl: maybe(of(1e-6, 7, 1e9)), pouredMl: maybe(of(0, 20, 1e15)) })),
    }),
  ],
  [
    'stocking',
    kind('stocking', {
      stage,
      meanLengthUm: maybe(length),
      perMl: maybe(of(1e-6, 4, 1e9)),
      larvae: maybe(amount),
      tanks: named(fc.record({ volumeMl: volume, larvae: maybe(amount), flowLitresPerHour: maybe(of(1e-9, 8, 1e12)) })),
    }),
  ],
  [
    'survival',
    kind('survival', {
      counts: fc
        .tuple(
          rising,
          fc.array(fc.tuple(amount, maybe(of(0, 1e6)), maybe(of(0, 1e15))), { minLength: 8, maxLength: 8 }),
        )
        .map(([days, rows]) =>
          days.map((day, i) => ({ day, alive: rows[i][0], takenOut: rows[i][1], putIn: rows[i][2] })),
        ),
      stocked: maybe(of(1, 1e15)),
      yield: maybe(
        fc.record({
          dLarvae: amount,
          of: amount,
          denominator: fc.constantFrom('eggs', 'fertilised eggs'),
          fertilised: maybe(share),
        }),
      ),
      chain: maybe(named(fc.record({ number: amount }), 4).filter((list) => list.length > 1)),
    }),
  ],
  [
    'growth',
    kind('growth', {
      measurements: fc
        .tuple(rising, fc.array(fc.oneof(length, limits(300)), { minLength: 8, maxLength: 8 }))
        .map(([days, rows]) => days.map((day, i) => ({ day, meanLengthUm: rows[i] }))),
      temperatureC: maybe(of(0.1, 20, 28, 44.9)),
    }),
  ],
  [
    'screening',
    kind('screening', {
      lengthsUm: fc.array(fc.oneof(length, fc.integer({ min: 60, max: 330 })), { minLength: 1, maxLength: 30 }),
      larvae: maybe(amount),
      screensUm: maybe(fc.array(of(1, 150, 5000), { minLength: 1, maxLength: 3 })),
      keepShare: maybe(of(1e-6, 0.8, 1)),
      classes: maybe(
        fc.array(
          fc.record({
            apertureUm: of(0, 100, 150),
            number: amount,
            lengthsUm: maybe(fc.array(fc.integer({ min: 90, max: 220 }), { minLength: 6, maxLength: 20 })),
          }),
          { minLength: 1, maxLength: 3 },
        ),
      ),
    }),
  ],
  [
    'ration',
    kind('ration', {
      stage,
      meanLengthUm: maybe(length),
      larvae: amount,
      volumeMl: volume,
      how: maybe(fc.constantFrom('added', 'topped-up')),
      targetCellsPerMl: maybe(of(1e-9, 4e4, 1e12)),
      cellsPerLarvaPerDay: maybe(of(1e-9, 1e4)),
      leftCellsPerMl: maybe(of(0, 9e3, 1e15)),
      lastTargetCellsPerMl: maybe(of(1e-9, 4e4)),
      equivalence: maybe(fc.constantFrom('weight', 'volume', 'cells')),
      cultures: named(fc.record(culture)),
    }),
  ],
  [
    'feed-sheet',
    kind('feed-sheet', {
      tanks: named(
        fc.record({
          volumeMl: volume,
          targetCellsPerMl: of(1e-9, 4e4, 1e12),
          leftCellsPerMl: maybe(of(0, 1e15)),
          meanLengthUm: maybe(length),
          larvae: maybe(amount),
        }),
      ),
      cultures: named(fc.record({ ...culture, litres: of(0, 6, 1e15) })),
      sharing: maybe(fc.constantFrom('equal-parts', 'in-order')),
    }),
  ],
  [
    'readiness',
    kind('readiness', {
      days: rising,
      lengthsUm: fc.array(fc.integer({ min: 60, max: 330 }), { minLength: 8, maxLength: 8 }),
      sdUm: maybe(of(0, 18, 1000)),
      lengthsTodayUm: maybe(fc.array(length, { minLength: 1, maxLength: 5 })),
      shareAbove: maybe(of(0.001, 0.5, 0.999)),
      settingLengthUm: maybe(length),
      eyed: maybe(share),
      larvae: maybe(amount),
      temperatureC: maybe(of(0.1, 20, 44.9)),
    }).map((question) => {
      const { days, lengthsUm } = question as { days: number[]; lengthsUm: number[] };
      return { ...question, lengthsUm: lengthsUm.slice(0, days.length) };
    }),
  ],
  [
    'setting',
    kind('setting', {
      larvae: amount,
      shells: maybe(of(1e-9, 12_000, 1e12)),
      targetPerShell: maybe(of(1e-9, 10, 1e12)),
      efficiency: maybe(share),
      ownSets: maybe(fc.array(fc.record({ larvae: amount, spat: amount }), { minLength: 1, maxLength: 4 })),
      microcultch: maybe(fc.record({ grams: of(1e-9, 100, 1e12), grainsPerGram: of(1e-9, 900, 1e12) })),
      areaM2: maybe(of(1e-9, 65)),
    }),
  ],
  [
    'packing',
    kind('packing', {
      larvae: amount,
      perPackage: of(1e-9, 1e6, 1e12),
      packages: maybe(of(1, 5, 1e6)),
      by: fc.constantFrom('count', 'volume', 'weight'),
      suspensionMl: maybe(volume),
      sample: maybe(fc.record({ larvae: amount, ml: of(1e-9, 1), grams: of(1e-9, 1) })),
      daysUnderway: maybe(of(0, 9)),
    }),
  ],
  [
    'breeders',
    kind('breeders', {
      sires: fc.oneof(
        of(1, 50, 1e6),
        named(fc.record({ share: maybe(of(0, 0.3, 1e15)) })).map((list) =>
          list.map(({ name, share: part }) => ({ animal: name, share: part })),
        ),
      ),
      dams: of(1, 7),
    }),
  ],
];

describe('no NaN, nothing infinite and an answer as published for any question that the schema accepts', () => {
  it.each(questions)('%s', async (_, any) => {
    let answered = 0;
    await fc.assert(
      fc.asyncProperty(any, async (question) => {
        const given = JSON.parse(JSON.stringify(question)) as object;
        fc.pre(isQuestion(given));
        try {
          const answer = await answerPlan(given);
          JSON.stringify(answer, (key, value: unknown) => {
            if (typeof value === 'number' && !Number.isFinite(value)) throw new Error(`${key} is ${value}`);
            return value;
          });
          isAnswer(JSON.parse(JSON.stringify(answer)));
          expect(isAnswer.errors).toBeNull();
          expect(planText(answer)).not.toMatch(/NaN|undefined|Infinity|∞/);
          answered += 1;
        } catch (error) {
          // What can not be is refused with a sentence, never a fault of ours.
          if (!(error instanceof VeligridError)) throw error;
        }
      }),
      { numRuns: 80, seed: 17 },
    );
    expect(answered).toBeGreaterThan(8);
  });
});
