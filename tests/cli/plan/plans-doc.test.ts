import { describe, expect, it } from 'vitest';
import { RULE_SENTENCES } from '../../../packages/hatchery/src/rules/sentences.js';
import { ask, kinds, text } from './support.js';

const document = text('docs/plans.md');
const questions = [...document.matchAll(/```json\n([^]*?)```/g)].map(
  ([, json]) => JSON.parse(json) as Record<string, unknown>,
);

/** What the command prints for each example, in order, and how the document words it. */
const said: readonly (readonly [string, readonly string[], readonly string[]])[] = [
  [
    'egg-pool',
    ['8.04 mL  7.00 (5.58 to 8.78)', '19.0 mL  16.6', '[poured-off-target]'],
    ['8.04 mL', '7 per mL (5.58 to 8.78)', '19 mL make 16.6 per mL'],
  ],
  [
    'stocking',
    ['5,100,000 (4,200,000 to 6,100,000)', '[overstocked]'],
    ['4,000,000 umbo larvae', '5,100,000 (4,200,000 to 6,100,000)'],
  ],
  ['survival', ['71.1 % (52.6 to 96.1)', 'no measurable loss'], ['71.1 % (52.6 to 96.1)']],
  ['survival', ['101 % (', '113 % (', '[yield-over-100]'], ['101 % of the eggs, 113 % of the fertilised eggs']],
  [
    'growth',
    ['153 (150 to 156)        161        298   below', '178 (169 to 186) um', '[below-band]', '[slower-than-own-past]'],
    ['from 161 to 298 um; 153 um (150 to 156)', '178 um (169 to 186)'],
  ],
  [
    'screening',
    ['Use 120 um', '91.7 % (64.6 to 98.6)', '3,850,000 (2,670,000 to 4,370,000)  350,000'],
    ['91.7 % (64.6 to 98.6)', '3,850,000 larvae (2,670,000 to 4,370,000), with 350,000 lost'],
  ],
  ['screening', ['171 (164 to 178)', 'own sieve table'], ['171 um (164 to 178)']],
  [
    'ration',
    ['9,520 (8,600 to 10,600)', '10,000 cells (preset)', '2.60 L', '3.36 L (3.03 to 3.73)'],
    ['9,520 (8,600 to 10,600)', '2.60 L of carboy 1 and 3.36 L (3.03 to 3.73)'],
  ],
  ['ration', ['22,400,000 of t-iso'], ['22,400,000 cells a day']],
  [
    'feed-sheet',
    ['8.21 L', '89.3 %', '73.1 %', '86.6 %', '8.20 L', 'Short: T1, T2, T3.'],
    ['asked for 8.21 L', '89.3, 73.1 and 86.6 %', '8.20 L of carboy 2'],
  ],
  [
    'readiness',
    ['Plan for any day from 14.2 to 19.2.', '15.3 (14.6 to 16.1)', '17.6 (16.6 to 18.8)', '5.00 % (0.277 to 50.0)'],
    ['15.3 to 17.6', '14.2 to 19.2', '0.277 to 50.0'],
  ],
  [
    'setting',
    ['1,200,000 (857,000 to 1,720,000)', '16.7 (11.4 to 23.8)', '72.7 (50.1 to 104) bags'],
    ['1,200,000 (857,000 to 1,720,000)', '16.7 (11.4 to 23.8)', '72.7 bags'],
  ],
  [
    'packing',
    ['714 mL of suspension', '1,000,000 (892,000 to 1,120,000)', '800 mL of suspension'],
    ['714 mL', '892,000 to 1,120,000', '800 mL'],
  ],
  ['breeders', ['5.88, 6.86 if all', 'M1 x F1    0.250', '[related-cross]'], ['5.88', '6.86', 'kinship 0.25']],
];

describe('the worked examples of docs/plans.md', () => {
  it('are those told here, in this order, with every kind among them', () => {
    expect(questions.map(({ kind }) => kind)).toEqual(said.map(([kind]) => kind));
    expect(new Set(questions.map(({ kind }) => kind))).toEqual(new Set(kinds));
  });
  it.each(said.map((one, i) => [one[0], i] as const))(
    '%s, example %d: the figures are those that the command prints',
    async (_, i) => {
      const { code, out } = await ask(questions[i], '--text');
      expect(code).toBe(0);
      for (const figures of said[i][1])
        expect(out.replaceAll(/ {2,}/g, '  ')).toContain(figures.replaceAll(/ {2,}/g, '  '));
      for (const figures of said[i][2]) expect(document).toContain(figures);
    },
  );
  it('every warning that a rule may raise is explained', () => {
    const raised = Object.keys(RULE_SENTENCES).map((name) => name.split('.')[0]);
    expect(raised.length).toBeGreaterThan(25);
    expect([...new Set(raised)].filter((code) => !document.includes(`\`${code}\``))).toEqual([]);
  });
  it('every alga, species and way that the text names is accepted', () => {
    for (const [, name] of document.matchAll(/`((?:eastern|pacific)-oyster|hard-clam)`/g)) {
      expect(text('docs/plan.schema.json')).toContain(`"${name}"`);
    }
  });
});
