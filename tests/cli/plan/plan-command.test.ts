import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { describe, expect, it } from 'vitest';
import { planCommand } from '../../../apps/cli/src/plan/plan-command.js';
import { ask, examples, folder, isAnswer, isQuestion, kinds, schema, text } from './support.js';

interface Answer {
  readonly figures: readonly { readonly name: string; readonly preset: string; readonly version: string }[];
  readonly warnings: readonly { readonly code: string; readonly message: string }[];
  readonly cautions: readonly { readonly code: string; readonly message: string; readonly source: string }[];
}
const answerOf = async (question: unknown, ...flags: string[]): Promise<Answer & Record<string, unknown>> =>
  JSON.parse((await ask(question, ...flags)).out) as Answer & Record<string, unknown>;

describe('the schemas of plan', () => {
  it('know the eleven kinds, each with an example, and so do the answers', () => {
    expect(kinds).toEqual([
      'egg-pool',
      'stocking',
      'survival',
      'growth',
      'screening',
      'ration',
      'feed-sheet',
      'readiness',
      'setting',
      'packing',
      'breeders',
    ]);
    expect(new Set(examples.map(({ kind }) => kind))).toEqual(new Set(kinds));
    expect((JSON.parse(text('docs/plan-result.schema.json')) as typeof schema).oneOf).toEqual(schema.oneOf);
  });
  it.each([
    ['plan', 'packages/season'],
    ['plan-result', 'apps/cli'],
  ])('%s ships with %s as published', (name, room) => {
    expect(text(`${room}/${name}.schema.json`)).toBe(text(`docs/${name}.schema.json`));
  });
  it('describe counts word for word as those of estimate do', () => {
    const estimate = JSON.parse(text('docs/estimate.schema.json')) as typeof schema;
    const shared = [
      'level',
      'animals',
      'slideVolume',
      'containerVolume',
      'step',
      'subsample',
      'history',
      'scoredSlide',
    ];
    for (const name of shared) expect(schema.$defs[name]).toEqual(estimate.$defs[name]);
  });
});

describe('veligrid plan answers the examples', () => {
  it.each(examples.map((example) => [example['kind'], example] as const))('%s %#', async (_, example) => {
    expect(isQuestion(example)).toBe(true);
    const { code, out, err } = await ask(example);
    expect(err).toBe('');
    expect(code).toBe(0);
    isAnswer(JSON.parse(out));
    expect(isAnswer.errors).toBeNull();
  });
  it.each(examples.map((example) => [example['kind'], example] as const))('%s %# for people', async (_, example) => {
    const { code, out } = await ask(example, '--text');
    expect(code).toBe(0);
    expect(out).toContain('Limits in brackets hold at 95 %');
    expect(out).not.toMatch(/NaN|undefined|Infinity|\[object/);
    const answer = await answerOf(example);
    for (const { name, preset, version } of answer.figures) {
      expect(out).toContain(name);
      expect(out).toContain(`${preset} ${version}`);
    }
    for (const { message, source } of answer.cautions) expect(out).toContain(`Caution: ${message} (${source})`);
    for (const { message, code: raised } of answer.warnings) expect(out).toContain(`! ${message} [${raised}]`);
  });
  it.each(examples.map((example) => [example['kind'], example] as const))(
    '%s %#: cautions once each',
    async (_, example) => {
      const { cautions } = await answerOf(example);
      expect(new Set(cautions.map(({ code }) => code)).size).toBe(cautions.length);
      for (const { message, source } of cautions) {
        expect(source).not.toBe('');
        expect(message).toMatch(/local (rules|authority)/i);
      }
    },
  );
  it('reads standard input', async () => {
    let out = '';
    const console = { out: (words: string) => void (out += words), err: () => undefined, errIsTerminal: false };
    const [example] = examples;
    expect(await planCommand({ file: '-' }, console, Readable.from([JSON.stringify(example)]))).toBe(0);
    expect(out).toBe((await ask(example)).out);
  });
});

describe('values', () => {
  const container = { volumeMl: 300, relativeStandardUncertainty: 0 };
  const count = {
    container,
    subsamples: [
      { count: 80, volumeMl: 0.5 },
      { count: 77, volumeMl: 0.5 },
      { count: 80, volumeMl: 0.5 },
    ],
    volumeRelativeStandardUncertainty: 0,
    history: 'none',
  };
  it('a count given as such carries the limits of estimate (public notebook: 47,400 larvae) and its warnings', async () => {
    const tanks = [{ name: 'T', volumeMl: 1e4 }];
    const answer = await answerOf({ kind: 'stocking', stage: 'd-larva', larvae: count, tanks });
    expect(answer['larvae']).toMatchObject({ estimate: expect.closeTo(47_400, 6) as number });
    const { low } = answer['larvae'] as { low: number };
    expect(low).toBeLessThan(41_557.5);
    const single = { ...count, subsamples: [{ count: 20, volumeMl: 0.5 }] };
    const warned = await answerOf({ kind: 'stocking', stage: 'd-larva', larvae: single, tanks });
    expect(warned.warnings.map(({ code }) => code)).toEqual(['few-counted', 'one-filling', 'no-history']);
    expect(warned.warnings[0].message).toMatch(/^larvae: /);
  });
  it('the trap of a replicate scaled with another volume is told with the pool', async () => {
    // Public data of a Pacific oyster larval trial 2017: 204 in 50 uL, 326 and 256 in 25 uL.
    const subsamples = [
      { count: 204, volumeMl: 0.05 },
      { count: 326, volumeMl: 0.025 },
      { count: 256, volumeMl: 0.025 },
    ];
    const pool = { ...count, container: { ...container, volumeMl: 2500 }, subsamples };
    const answer = await answerOf({ kind: 'egg-pool', pool, tanks: [{ name: 'b', volumeMl: 15_000, perMl: 7 }] });
    expect(answer.warnings.map(({ code }) => code)).toEqual(['replicate-volume', 'heterogeneous']);
    const [tank] = answer['tanks'] as { pourMl: { estimate: number } }[];
    expect(tank.pourMl.estimate).toBeCloseTo(13.3588, 4);
  });
  it('the level of the question sets the limits of counts', async () => {
    const width = async (level: number): Promise<number> => {
      const { larvae } = await answerOf({
        kind: 'stocking',
        stage: 'umbo',
        level,
        larvae: count,
        tanks: [{ name: 'T', volumeMl: 1 }],
      });
      const { low, high } = larvae as { low: number; high: number };
      return high / low;
    };
    expect(await width(0.99)).toBeGreaterThan(await width(0.9));
  });
  it('the stage follows from the length by the staging preset', async () => {
    const tanks = [{ name: 'T', volumeMl: 1000 }];
    const stage = async (meanLengthUm: number, species: string): Promise<unknown> =>
      (await answerOf({ kind: 'stocking', species, meanLengthUm, larvae: 1, tanks }))['stage'];
    expect(await stage(80, 'eastern-oyster')).toBe('d-larva');
    expect(await stage(200, 'eastern-oyster')).toBe('umbo');
    expect(await stage(215, 'hard-clam')).toBe('pediveliger');
  });
});

describe('own figures', () => {
  const write = (name: string, content: unknown): string => {
    const file = join(folder, name);
    writeFileSync(file, typeof content === 'string' ? content : JSON.stringify(content));
    return file;
  };
  const question = { kind: 'stocking', stage: 'umbo', larvae: 1000, tanks: [{ name: 'T', volumeMl: 100 }] };
  const house = {
    format: 'veligrid-figures-1',
    name: 'our house',
    title: 'Our own figures',
    version: '3',
    figures: [
      { name: 'stocking.umbo.per-ml', value: 6, unit: 'larvae per mL', source: 'our season 2026', confidence: 'own' },
    ],
  };
  it('win, and the answer prints file, version and source', async () => {
    const answer = await answerOf(question, '--figures', write('house.json', house));
    expect(answer['perMl']).toBe(6);
    expect(answer.figures[0]).toEqual({
      name: 'stocking.umbo.per-ml',
      value: 6,
      unit: 'larvae per mL',
      source: 'our season 2026',
      confidence: 'own',
      preset: 'our house',
      version: '3',
    });
    expect((await answerOf(question))['perMl']).toBe(4);
  });
  it.each([
    ['{', 'is not JSON'],
    [
      { ...house, figures: [{ ...house.figures[0], name: 'stocking.ubmo.per-ml' }] },
      'There is no figure stocking.ubmo',
    ],
    [{}, "The file of figures can't be used"],
  ])('a wrong file ends with 2: %j', async (content, message) => {
    const { code, err } = await ask(question, '--figures', write('wrong.json', content));
    expect(code).toBe(2);
    expect(err).toContain(message);
  });
  it('a file that is not there ends with 2', async () => {
    const { code, err } = await ask(question, '--figures', '/nowhere.json');
    expect([code, err]).toEqual([2, '/nowhere.json can not be read. Name your own file of figures with --figures.\n']);
  });
});

describe('a wrong question ends with 2 and one sentence', () => {
  const tanks = [{ name: 'T', volumeMl: 1000 }];
  const culture = { name: 'c', alga: 't-iso', cellsPerMl: 6e6 };
  const ration = { kind: 'ration', stage: 'umbo', larvae: 1000, volumeMl: 1000, cultures: [culture] };
  const cases: [unknown, string][] = [
    ['{bad', 'is not JSON. Look for a missing comma, quote or bracket.'],
    [{}, `Expected kind to be one of ${kinds.join(', ')}, but got undefined`],
    [{ kind: 'tank' }, 'but got "tank"'],
    [
      { kind: 'growth', species: 'mussel', measurements: [] },
      'Expected species to be "eastern-oyster", "pacific-oyster" or "hard-clam"',
    ],
    [{ kind: 'egg-pool', tanks }, 'pool is missing: expected a count as'],
    [
      { kind: 'egg-pool', pool: { container: { volumeMl: 5 }, subsamples: [{ count: 1.5, volumeMl: 1 }] }, tanks },
      'Expected pool.subsamples[0].count to be a whole number of animals',
    ],
    [
      {
        kind: 'egg-pool',
        pool: { container: { volumeMl: 5 }, subsamples: [{ count: 1, volumeMl: 1, dilutionFactor: 2 }] },
        tanks,
      },
      'pool.subsamples[0].dilutionFactor is not accepted, as a factor or ratio can be read in two ways',
    ],
    [
      { kind: 'stocking', stage: 'egg', larvae: 1, tanks },
      'Expected stage to be "d-larva", "umbo", "eyed" or "pediveliger", but got "egg"',
    ],
    [
      { kind: 'stocking', stage: 'umbo', larvae: 1, tanks: [{ name: 'T' }] },
      'tanks[0].volumeMl is missing: expected a number of mL',
    ],
    [
      { kind: 'stocking', stage: 'umbo', larvae: 1, tanks: [...tanks, ...tanks] },
      'Expected the names of tanks to be different from each other, but got "T"',
    ],
    [{ kind: 'stocking', larvae: 1, tanks }, 'Expected stage to be given, or meanLengthUm'],
    [{ kind: 'stocking', stage: 'umbo', larvae: '9 million', tanks }, 'Expected larvae to be a number, its limits as'],
    [
      { kind: 'stocking', stage: 'umbo', larvae: { estimate: 5, low: 6, high: 7 }, tanks },
      'Expected larvae to be limits with low <= estimate <= high',
    ],
    [{ kind: 'survival' }, 'Expected the input to be an object with counts, yield or chain'],
    [{ kind: 'survival', counts: [{ day: 1, alive: 5 }] }, 'Expected counts to be a list of 2 to 1000 counts'],
    [
      { kind: 'survival', yield: { dLarvae: 1, of: 2 } },
      'yield.denominator is missing: expected "eggs" or "fertilised eggs"',
    ],
    [
      { kind: 'growth', measurements: [{ day: 3 }] },
      'Expected measurements[0] to be an object with day and meanLengthUm or lengthsUm',
    ],
    [
      { kind: 'growth', measurements: [{ day: 3, meanLengthUm: 80 }], temperatureC: 78 },
      'Expected temperatureC to be a temperature in C above 0 and below 45, but got 78',
    ],
    [{ kind: 'screening' }, 'Expected the input to be an object with lengthsUm or classes'],
    [{ kind: 'ration', stage: 'umbo' }, 'larvae is missing: expected a number, its limits as'],
    [{ ...ration, volumeMl: undefined }, 'volumeMl is missing: expected a number of mL'],
    [
      { ...ration, cultures: [{ ...culture, cellsPerMl: 40_000 }] },
      'The culture c has not more than the 40,000 cells per mL wanted in the tank',
    ],
    [
      { ...ration, cultures: [{ ...culture, alga: 'spirulina' }] },
      'No preset has a figure algae.spirulina.organic-weight-pg',
    ],
    [
      { kind: 'feed-sheet', tanks: [{ name: 'T', volumeMl: 5 }], cultures: [{ ...culture, litres: 1 }] },
      'Expected targetCellsPerMl of T to be given, or the stage',
    ],
    [{ kind: 'feed-sheet', tanks, cultures: [culture] }, 'cultures[0].litres is missing'],
    [{ kind: 'readiness', days: [1, 2], lengthsUm: [80] }, 'Expected lengthsUm to be a list of mean lengths'],
    [{ kind: 'setting', efficiency: 0.1 }, 'Expected the input to be an object with larvae, or with cultch'],
    [{ kind: 'setting', larvae: 5, efficiency: 10 }, 'Expected efficiency to be a part from 0 to 1'],
    [{ kind: 'packing', larvae: 5, perPackage: 1, by: 'post' }, 'Expected by to be "count", "volume" or "weight"'],
    [
      { kind: 'packing', larvae: 5, perPackage: 1, by: 'weight' },
      'Expected sample.grams to be given when packing by weight',
    ],
    [{ kind: 'breeders', sires: 0, dams: 2 }, 'Expected sires to be a whole number of 1 or more, or a list of animals'],
    [
      { kind: 'breeders', sires: 1, dams: 2, pedigree: [{ animal: 'a', sire: 'a' }] },
      'The pedigree makes a its own ancestor',
    ],
    [
      { kind: 'breeders', sires: 1, dams: 2, tank: 4 },
      'tank is not a field that is known here: accepted are kind, level, species, sires',
    ],
  ];
  it.each(cases)('%j', async (question, sentence) => {
    const { code, out, err } = await ask(question);
    expect(code).toBe(2);
    expect(out).toBe('');
    expect(err).toContain(sentence);
    expect(err.trimEnd().split('\n')).toHaveLength(1);
  });
});
