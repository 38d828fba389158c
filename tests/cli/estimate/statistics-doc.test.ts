import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { answerQuestion, type Answer } from '../../../apps/cli/src/estimate/answer-question.js';
import { answerText } from '../../../apps/cli/src/estimate/answer-text.js';

const document = readFileSync(new URL('../../../docs/statistics.md', import.meta.url), 'utf8');
const questions = [...document.matchAll(/```json\n([^]*?)```/g)].map(([, json]) => JSON.parse(json) as object);
const answers = questions.map(answerQuestion);

/** What the document says of each example, as the command prints it, and as the document words it. */
const said: readonly (readonly [Answer['kind'], readonly string[], readonly string[]])[] = [
  ['count', ['158 (138 to 180)', '47,400 (41,500 to 53,900)'], ['158 per mL, 47,400 in 300 mL (41,500 to 53,900)']],
  ['share', ['82.3 % (3.31 to 99.9)', '74.6 to 88.5'], ['82.3 % of eggs (3.3 to 99.9)', '74.6 to 88.5']],
  ['lengths', ['6.64 um (4.56 to 12.2)', '70.0 % (39.6 to 89.3)'], ['6.6 (4.5 to 12.2)', '70 % (39.6 to 89.3)']],
  [
    'survival',
    ['75.8 % (64.5 to 89.1)', '94.6 %', '0.0553 (0.0232 to 0.0875)'],
    ['75.8 % (64.5 to 89.1)', '94.6 % a day', '0.055 a day (0.023 to 0.088)'],
  ],
  [
    'growth',
    ['13.9 um (12.4 to 15.3)', 'Plan for day 15.3 to 17.6'],
    ['13.9 um a day (12.4 to 15.3)', 'day 15.3 to 17.6'],
  ],
];

describe('the worked examples of docs/statistics.md', () => {
  it('are one of each kind told here, in this order', () => {
    expect(answers.map(({ kind }) => kind)).toEqual(said.map(([kind]) => kind));
  });
  it.each(said)('%s: the figures are those that the command prints', (kind, printed, worded) => {
    const answer = answers.find((one) => one.kind === kind);
    const text = answer === undefined ? '' : answerText(answer);
    for (const figures of printed) expect(text).toContain(figures);
    for (const figures of worded) expect(document).toContain(figures);
  });
  it('scattered fillings of the same sum: 25,200 to 89,200', () => {
    const [count] = questions;
    const subsamples = [60, 77, 100].map((n) => ({ count: n, volumeMl: 0.5 }));
    expect(answerText(answerQuestion({ ...count, subsamples }))).toContain('47,400 (25,200 to 89,200)');
    expect(document).toContain('25,200 to 89,200');
  });
  it('two screen classes: the example of the schema', () => {
    const { $defs } = JSON.parse(
      readFileSync(new URL('../../../docs/estimate.schema.json', import.meta.url), 'utf8'),
    ) as { $defs: { totals: { examples: [object] } } };
    expect(answerText(answerQuestion($defs.totals.examples[0]))).toContain('26,700,000 (19,000,000 to 37,700,000)');
    expect(document).toContain('26,700,000 (19,000,000 to 37,700,000)');
  });
  it('survival without saying what is shared: 63.2 to 90.9', () => {
    const survival = questions.find((_, i) => answers[i].kind === 'survival');
    const bare = answerQuestion({ ...survival, sharedRelativeStandardUncertainty: 0 });
    expect(answerText(bare)).toContain('75.8 % (63.2 to 90.9)');
    expect(document).toContain('63.2 to 90.9');
  });
});
