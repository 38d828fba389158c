import { readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { answerQuestion } from '../../../apps/cli/src/estimate/answer-question.js';

const schema = (name: string): object =>
  JSON.parse(readFileSync(new URL(`../../../docs/${name}.schema.json`, import.meta.url), 'utf8')) as object;
const ajv = new Ajv2020({ strict: true, strictTypes: false });
const isQuestion = ajv.compile(schema('estimate'));
const isAnswer = ajv.compile(schema('estimate-result'));

describe('no NaN and no infinite limit for any question the schema accepts', () => {
  const level = fc.option(fc.constantFrom(0.5, 0.9, 0.99, 0.9999), { nil: undefined });
  const spread = (...values: number[]): fc.Arbitrary<number> => fc.constantFrom(...values);
  const shares = fc.record({
    kind: fc.constant('share'),
    level,
    slides: fc.array(
      fc
        .tuple(spread(0, 1, 5, 1e6, 1e9), spread(1, 5, 1e6, 1e9))
        .map(([positive, of]) => ({ positive: Math.min(positive, of), of })),
      { minLength: 1, maxLength: 4 },
    ),
  });
  const survivals = fc.record({
    kind: fc.constant('survival'),
    level,
    first: fc.record({
      total: spread(1, 5e6, 1e15),
      relativeStandardUncertainty: spread(0, 0.1, 3),
      degreesOfFreedom: spread(1, 7.5, 1e9),
    }),
    second: fc.record({ total: spread(1, 5e6, 1e15), relativeStandardUncertainty: spread(0, 0.1, 3) }),
    days: spread(0.1, 3, 1e4),
  });
  const growths = fc.record({
    kind: fc.constant('growth'),
    level,
    days: fc.uniqueArray(fc.integer({ min: -1e4, max: 1e5 }), { minLength: 8, maxLength: 8 }),
    lengthsUm: fc.array(fc.oneof(spread(0.001, 1e5), fc.integer({ min: 50, max: 300 })), {
      minLength: 8,
      maxLength: 8,
    }),
    targetUm: spread(0.001, 250, 1e5),
  });
  const lengths = fc.record({
    kind: fc.constant('lengths'),
    level,
    lengthsUm: fc.array(fc.oneof(spread(0.001, 200, 1e5), fc.integer({ min: 50, max: 300 })), {
      minLength: 1,
      maxLength: 60,
    }),
    aboveUm: spread(0.001, 200),
    screenUm: spread(0.001, 150),
  });
  const audits = fc.record({
    kind: fc.constant('audit'),
    level,
    squares: fc
      .array(fc.record({ detected: spread(0, 1, 1e9), confirmed: fc.option(spread(0, 1, 1e9)) }), { maxLength: 6 })
      .map((squares) => [...squares, { detected: 3, confirmed: 2 }, { detected: 0, confirmed: 0 }]),
  });
  const stages = fc.record({
    kind: fc.constant('stages'),
    level,
    counts: fc.record({ egg: spread(0, 1, 1e9), morula: spread(1, 1e9), dead: spread(0, 7) }),
  });
  const totals = fc.record({
    kind: fc.constant('totals'),
    level,
    sameContainer: fc.boolean(),
    parts: fc
      .array(
        fc.record({
          kind: fc.constant('count'),
          container: fc.record({ volumeMl: spread(1e-6, 300, 1e12), relativeStandardUncertainty: spread(0, 1) }),
          history: fc.oneof(
            fc.constantFrom('none', 'starting'),
            fc.record({ cv: spread(0, 0.1, 3), degreesOfFreedom: spread(0.001, 12, 1e6) }),
          ),
          subsamples: fc.array(fc.record({ count: spread(0, 1, 80, 1e9), volumeMl: spread(1e-6, 1, 1e6) }), {
            minLength: 1,
            maxLength: 4,
          }),
        }),
        { minLength: 1, maxLength: 4 },
      )
      .map((counts) => counts.map((count, i) => ({ name: `tank ${i}`, count }))),
  });
  it.each([
    ['totals', totals],
    ['share', shares],
    ['survival', survivals],
    ['growth', growths],
    ['lengths', lengths],
    ['audit', audits],
    ['stages', stages],
  ] as [string, fc.Arbitrary<object>][])('%s', (_, questionOf) => {
    fc.assert(
      fc.property(questionOf, (question) => {
        const given = JSON.parse(JSON.stringify(question)) as object;
        expect(isQuestion(given)).toBe(true);
        const answer = answerQuestion(given);
        JSON.stringify(answer, (key, value: unknown) => {
          if (typeof value === 'number' && !Number.isFinite(value)) throw new Error(`${key} is ${value}`);
          return value;
        });
        isAnswer(JSON.parse(JSON.stringify(answer)));
        expect(isAnswer.errors).toBeNull();
      }),
      { numRuns: 120, seed: 8 },
    );
  });
});
