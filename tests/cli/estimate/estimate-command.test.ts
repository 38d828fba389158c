import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, it } from 'vitest';
import { threeFigures } from '../../../apps/cli/src/limits-text.js';
import { estimateCommand } from '../../../apps/cli/src/estimate/estimate-command.js';
import { run } from '../../../apps/cli/src/run.js';

const text = (path: string): string => readFileSync(new URL(`../../../${path}`, import.meta.url), 'utf8');
const ajv = new Ajv2020({ strict: true, strictTypes: false });
const isQuestion = ajv.compile(JSON.parse(text('docs/estimate.schema.json')) as object);
const isAnswer = ajv.compile(JSON.parse(text('docs/estimate-result.schema.json')) as object);

const folder = mkdtempSync(join(tmpdir(), 'veligrid-estimate-'));

/** Runs the command on a question written to a file. */
async function ask(question: unknown, ...flags: string[]): Promise<{ code: number; out: string; err: string }> {
  const file = join(folder, 'question.json');
  writeFileSync(file, typeof question === 'string' ? question : JSON.stringify(question));
  const said = { out: '', err: '' };
  const code = await run(['estimate', file, ...flags], {
    out: (words) => (said.out += words),
    err: (words) => (said.err += words),
    errIsTerminal: false,
  });
  return { code, ...said };
}

const count = {
  kind: 'count',
  level: 0.95,
  container: { volumeMl: 300, relativeStandardUncertainty: 0 },
  subsamples: [
    { count: 80, volumeMl: 0.5, steps: [] },
    { count: 77, volumeMl: 0.5 },
    { count: 80, volumeMl: 0.5 },
  ],
  volumeRelativeStandardUncertainty: 0,
  history: 'none',
};
const questions: Record<string, unknown>[] = [
  count,
  {
    kind: 'totals',
    parts: [
      { name: 'tank 1', count },
      { name: 'tank 2', count },
    ],
  },
  {
    kind: 'totals',
    parts: [
      { name: 'tank 1', count: { kind: 'count', container: { volumeMl: 5 }, subsamples: [{ count: 0, volumeMl: 1 }] } },
    ],
    sameContainer: true,
  },
  {
    kind: 'count',
    container: { volumeMl: 5 },
    subsamples: [{ count: 0, volumeMl: 1, filling: 'a' }],
    eggs: 10,
    stocked: 9,
  },
  {
    kind: 'count',
    container: { volumeMl: 5 },
    subsamples: [{ count: 9, volumeMl: 1 }],
    history: { cv: 0.1, degreesOfFreedom: 30 },
    placement: 'chosen',
  },
  {
    kind: 'share',
    slides: [
      { positive: 58, of: 60 },
      { positive: 49, of: 70 },
    ],
    denominator: 'eggs',
  },
  { kind: 'share', slides: [{ positive: 0, of: 60 }] },
  { kind: 'stages', counts: { egg: 4, 'd-larva': 50 } },
  {
    kind: 'survival',
    first: { total: 12e6, relativeStandardUncertainty: 0.06, method: 'a' },
    second: { total: 9.1e6, relativeStandardUncertainty: 0.07, degreesOfFreedom: 4, method: 'b' },
    days: 5,
    sharedRelativeStandardUncertainty: 0.03,
    removed: 5,
  },
  {
    kind: 'survival',
    first: { total: 5, relativeStandardUncertainty: 1 },
    second: { total: 9, relativeStandardUncertainty: 1 },
    days: 5,
  },
  { kind: 'growth', days: [2, 4, 6, 8, 10, 12, 14], lengthsUm: [82, 101, 126, 152, 181, 214, 247], targetUm: 290 },
  { kind: 'growth', days: [0, 18], lengthsUm: [75, 310], targetUm: 330, shareAbove: { share: 0.8, sdUm: 20 } },
  {
    kind: 'lengths',
    lengthsUm: [214, 221, 208, 230, 217, 225, 219, 211, 223, 216],
    aboveUm: 215,
    screenUm: 160,
    fittedThickness: 0.6,
  },
  {
    kind: 'lengths',
    lengthsUm: [...Array.from({ length: 25 }, (_, i) => 90 + i), ...Array.from({ length: 25 }, (_, i) => 200 + i)],
  },
  { kind: 'lengths', lengthsUm: [214], screenUm: 100, heightsUm: [200] },
  {
    kind: 'audit',
    squares: [
      { detected: 4, confirmed: 5 },
      { detected: 4, confirmed: null },
      { detected: 6, confirmed: 6 },
    ],
  },
  {
    kind: 'audit',
    squares: [
      { detected: 0, confirmed: 0 },
      { detected: 0, confirmed: 1 },
    ],
  },
];

/** The examples that the published schema gives of each kind. */
const schema = JSON.parse(text('docs/estimate.schema.json')) as {
  readonly oneOf: readonly { readonly $ref: string }[];
  readonly $defs: Readonly<Record<string, { readonly examples?: readonly Record<string, unknown>[] }>>;
};
const kinds = schema.oneOf.map(({ $ref }) => $ref.replace('#/$defs/', ''));

describe('the schemas', () => {
  it.each(kinds)('%s has an example that is valid and is answered as the other schema says', async (kind) => {
    const examples = schema.$defs[kind].examples ?? [];
    expect(examples.length).toBeGreaterThan(0);
    for (const example of examples) {
      expect(example['kind']).toBe(kind);
      expect(isQuestion(example)).toBe(true);
      const { code, out } = await ask(example);
      expect(code).toBe(0);
      isAnswer(JSON.parse(out));
      expect(isAnswer.errors).toBeNull();
    }
  });
  it('of answers knows the same kinds', () => {
    const answers = JSON.parse(text('docs/estimate-result.schema.json')) as typeof schema;
    expect(answers.oneOf).toEqual(schema.oneOf);
  });
  it.each(['estimate', 'estimate-result'])('%s ships with the command as published', (name) => {
    expect(text(`apps/cli/${name}.schema.json`)).toBe(text(`docs/${name}.schema.json`));
  });
  it.each(questions)('hold question and answer: %j', async (question) => {
    expect(isQuestion(question)).toBe(true);
    const { code, out } = await ask(question);
    expect(code).toBe(0);
    isAnswer(JSON.parse(out));
    expect(isAnswer.errors).toBeNull();
  });
});

describe('veligrid estimate', () => {
  it('answers with the total, its limits and what they are made of', async () => {
    const { out, err } = await ask(count);
    expect(err).toBe('');
    const answer = JSON.parse(out) as Record<string, { estimate: number; low: number; high: number }>;
    // Public notebook of a larval trial: 47,400 larvae; counting error 41,557 to 53,835 by SciPy 1.10.1.
    expect(answer['total'].estimate).toBeCloseTo(47_400, 6);
    expect([answer['countingErrorAlone'].low, answer['countingErrorAlone'].high].map(Math.round)).toEqual([
      41_557, 53_835,
    ]);
  });

  it('reads standard input', async () => {
    let out = '';
    const console = { out: (words: string) => void (out += words), err: () => undefined, errIsTerminal: false };
    const code = await estimateCommand({ file: '-' }, console, Readable.from([JSON.stringify(count)]));
    expect(code).toBe(0);
    expect(out).toBe((await ask(count)).out);
  });

  it.each(questions)('prints for people: %j', async (question) => {
    const { code, out } = await ask(question, '--text');
    expect(code).toBe(0);
    expect(out).toContain('Limits in brackets hold at 95 %.');
    expect(out).not.toMatch(/NaN|undefined|Infinity/);
  });

  it('rounds to three figures, limits outward', async () => {
    const { out } = await ask(count, '--text');
    expect(out).toContain(
      'Limits from: the scatter of these fillings, never below counting error [log-t-with-poisson-floor]',
    );
    expect(out).toContain('Total               47,400 (41,500 to 53,900)');
    expect(threeFigures(0)).toBe('0');
    expect(threeFigures(0.0123449, Math.ceil)).toBe('0.0124');
    expect(threeFigures(1.0e-6)).toBe('1.00e-6');
    expect(threeFigures(99.95)).toBe('100.0');
  });
});

describe('a wrong question ends with 2 and one sentence', () => {
  const changed = (more: object): object => ({ ...count, ...more });
  const cases: [unknown, string][] = [
    ['{bad', 'is not JSON. Look for a missing comma, quote or bracket.'],
    [[], 'Expected the input to be a JSON object with a kind, but got "[]"'],
    [
      {},
      'Expected kind to be one of count, totals, share, stages, survival, growth, lengths, audit, but got undefined',
    ],
    [changed({ kind: 'tank' }), 'but got "tank"'],
    [changed({ level: 95 }), 'Expected level to be a number from 0.5 to 0.9999'],
    [
      changed({ dilutionFactor: 10 }),
      'give the volumes instead, for example "steps":[{"takenMl":10,"madeUpToMl":100}]',
    ],
    [
      changed({ subsamples: [{ count: 1, volumeMl: 1, dilutionFactor: 10 }] }),
      'subsamples[0].dilutionFactor is not accepted',
    ],
    [changed({ tank: 5 }), 'tank is not a field that is known here: accepted are kind, level, container'],
    [changed({ subsamples: [{ count: 1 }] }), 'subsamples[0].volumeMl is missing: expected a number of mL from 1e-6'],
    [
      changed({ subsamples: [{ count: -1, volumeMl: 1 }] }),
      'Expected subsamples[0].count to be a whole number of animals',
    ],
    [changed({ subsamples: [{ count: 1.5, volumeMl: 1 }] }), 'but got 1.5'],
    [changed({ subsamples: [{ count: '80', volumeMl: 1 }] }), 'but got "80"'],
    [changed({ subsamples: [] }), 'Expected subsamples to be a list of 1 to 1000 subsamples'],
    [changed({ container: {} }), 'container.volumeMl is missing'],
    [changed({ container: { volumeMl: 0 } }), 'Expected container.volumeMl to be a number of mL'],
    [changed({ history: 'mine' }), 'Expected history to be "none", "starting", or your own as {"cv":0.08'],
    [changed({ history: { cv: -1, degreesOfFreedom: 3 } }), 'Expected history to be'],
    [
      changed({ subsamples: [{ count: 1, volumeMl: 1, steps: [{ takenMl: 1 }] }] }),
      'subsamples[0].steps[0].madeUpToMl is missing: expected a number of mL from 1e-6 to 1e7, the final volume',
    ],
    [
      {
        kind: 'totals',
        parts: [
          { name: 'a', count },
          { name: 'a', count },
        ],
      },
      'Expected the names of the parts to be different from each other, but got "a"',
    ],
    [{ kind: 'totals', parts: [{ name: 'a' }] }, 'parts[0].count is missing: expected an object'],
    [
      { kind: 'share', slides: [{ positive: 3, of: 2 }] },
      'Expected slides[0].positive to be no more than the 2 scored on that slide, but got 3',
    ],
    [
      { kind: 'survival', first: { total: 5, relativeStandardUncertainty: 0 }, days: 2 },
      'second is missing: expected an object',
    ],
    [
      { kind: 'growth', days: [1, 2], lengthsUm: [5, 6, 7] },
      'Expected lengthsUm to be a list of 2, as long as days, but got 3',
    ],
    [
      {
        kind: 'audit',
        squares: [
          { detected: 1, confirmed: null },
          { detected: 1, confirmed: 2 },
        ],
      },
      '2 or more confirmed squares',
    ],
    [
      { kind: 'lengths', lengthsUm: [0] },
      'Expected lengthsUm[0] to be a number of micrometres from 0.001 to 1e5, but got 0',
    ],
    [{ kind: 'stages', counts: { egg: 1 } }, 'Expected counts to be an object of 2 to 50 stages'],
  ];
  it.each(cases)('%j', async (question, sentence) => {
    const { code, out, err } = await ask(question);
    expect(code).toBe(2);
    expect(out).toBe('');
    expect(err).toContain(sentence);
    expect(err.trimEnd().split('\n')).toHaveLength(1);
  });

  it('a file that is not there', async () => {
    let err = '';
    const code = await run(['estimate', '/nowhere.json'], {
      out: () => undefined,
      err: (words) => (err += words),
      errIsTerminal: false,
    });
    expect(code).toBe(2);
    expect(err).toBe('/nowhere.json can not be read. Name a JSON file, or - for standard input.\n');
  });
});
