import { existsSync, mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { openStore } from '@veligrid/storage';
import { describe, expect, it } from 'vitest';
import { newFolder } from '../../storage/new-folder.js';
import { newBench, veligrid, type Said } from './bench.js';

/** Files of a season kept elsewhere: semicolons, days first, commas before decimals, headings of their own. */
const TANKS = ['Tank no.;Litres;Remark', '1-15;1.200,5;', '007;800;', '1e3;500;"x; ""y"""'];
const MOVES = [
  'What;When;Batch;From;To;Larvae;Who',
  // the ship stands before the stocking: rows are taken by time
  'ship;08.05.2026 09:30;;1-15;;1.000;Ada',
  'stock;06.05.2026 12:00;A;;1-15;2.000.000;Ben',
];
const BATCHES = ['Batch;Spawned', 'A;06.05.2026 08:40'];

const MAPPING = {
  formats: { date: 'DD.MM.YYYY HH:mm', zone: '-04:00', decimal: ',', thousands: '.', separator: ';' },
  files: [
    {
      file: 'moves.csv',
      holds: 'move',
      columns: { kind: 'What', at: 'When', batch: 'Batch', from: 'From', to: 'To', number: 'Larvae', by: 'Who' },
    },
    {
      file: 'batches.csv',
      holds: 'batch',
      columns: { batch: 'Batch', spawned_at: 'Spawned' },
      always: { species: 'pacific-oyster' },
    },
    { file: 'tanks.csv', holds: 'tank', columns: { tank: 'Tank no.', volume_l: 'Litres' } },
  ],
};

interface Files {
  readonly tanks?: readonly string[];
  readonly moves?: readonly string[];
  readonly batches?: readonly string[];
  readonly mapping?: unknown;
}

/** Writes the files, and gives where the mapping is. */
function season({ tanks = TANKS, moves = MOVES, batches = BATCHES, mapping = MAPPING }: Files = {}): string {
  const folder = join(newFolder(), 'season');
  mkdirSync(folder);
  writeFileSync(join(folder, 'tanks.csv'), `${tanks.join('\r\n')}\r\n`);
  writeFileSync(join(folder, 'moves.csv'), `\uFEFF${moves.join('\n')}`);
  writeFileSync(join(folder, 'batches.csv'), batches.join('\n'));
  const text = typeof mapping === 'string' ? mapping : JSON.stringify(mapping);
  writeFileSync(join(folder, 'season.json'), text);
  return join(folder, 'season.json');
}

const bring = (data: string, mapping: string, ...more: string[]): Promise<Said> =>
  veligrid('import-season', mapping, '--data', data, '--by', 'Ada', ...more);

describe('a season brought in from plain files', () => {
  it('is kept by time, with its zone, its numbers and its names as text', async () => {
    const { data } = newBench();
    const said = await bring(data, season());
    expect(said).toMatchObject({ code: 0, err: '' });
    expect(said.out).toContain('moves.csv: 2 rows kept');
    expect(said.out).toContain('Columns that nothing is read from: tanks.csv: Remark');
    const store = await openStore(data);
    expect((await store.tanks.list()).map(({ name, volumeMl }) => [name, volumeMl])).toEqual([
      ['1-15', 1_200_500],
      ['007', 800_000],
      ['1e3', 500_000],
    ]);
    expect(
      (await store.moves.list()).map(({ kind, number, happenedAt, by }) => [kind, number, happenedAt, by]),
    ).toEqual([
      ['stock', 2e6, '2026-05-06T16:00:00.000Z', 'Ben'],
      ['ship', 1000, '2026-05-08T13:30:00.000Z', 'Ada'],
    ]);
    expect((await store.batches.list())[0]).toMatchObject({
      species: 'pacific-oyster',
      spawnedAt: '2026-05-06T12:40:00.000Z',
    });
    expect(await store.check()).toEqual([]);
    await store.close();
  });

  it('a dry run lists every row it would refuse and why, and keeps nothing', async () => {
    const { data } = newBench();
    const mapping = season({
      tanks: ['Tank no.;Litres', '1-15;1200', ';5', '1-15;1200', 'x;12.5', 'y;-3', 'z;0'],
      batches: ['Batch;Spawned', 'A;6.5.2026 08:40', 'B;2026-05-06', 'C;31.04.2026 10:00'],
      moves: [
        ...MOVES,
        'swap;06.05.2026 12:00;A;;1-15;5;',
        'cull;07.05.2026 12:00;;1-15;;lots;',
        'cull;09.05.2026 12:00;;Q;;5;',
      ],
    });
    const { code, out } = await bring(data, mapping, '--dry-run');
    expect(code).toBe(2);
    const lines = out.split('\n');
    const why = (file: string, line: number): string | undefined =>
      lines.find((one) => one.startsWith(`${file}, line ${line}: `));
    expect(why('tanks.csv', 2)).toBeUndefined();
    expect(why('tanks.csv', 3)).toContain('tank is missing');
    expect(why('tanks.csv', 4)).toContain('There is a tank "1-15" already');
    // with a point between thousands, 12.5 is neither 125 nor twelve and a half
    expect(why('tanks.csv', 5)).toContain('volume_l is "12.5": expected a number written with ","');
    expect(why('tanks.csv', 6)).toContain('a number of 0 or more');
    expect(why('tanks.csv', 7)).toContain('a number above 0');
    expect(why('batches.csv', 2)).toContain(
      'spawned_at is "6.5.2026 08:40": expected a date written as DD.MM.YYYY HH:mm',
    );
    expect(why('batches.csv', 3)).toContain('2026-05-06');
    expect(why('batches.csv', 4)).toContain('31.04.2026');
    expect(why('moves.csv', 2)).toBeDefined();
    expect(why('moves.csv', 4)).toContain('kind is "swap": expected one of stock');
    expect(why('moves.csv', 6)).toContain('There is no tank "Q"');
    expect(out).toContain('so nothing was kept.');
    expect(existsSync(data)).toBe(false);
  });

  it('a dry run of good files says so, keeps nothing in a folder that is there, and may be followed by the run itself', async () => {
    const bench = newBench();
    await bench.record('tank', 'add', 'mine');
    const mapping = season();
    const trial = await bring(bench.data, mapping, '--dry-run');
    expect([trial.code, trial.out]).toEqual([0, expect.stringContaining('tanks.csv: 3 rows could be kept')]);
    expect(await bench.ask<unknown[]>('tank', 'list')).toHaveLength(1);
    expect((await bring(bench.data, mapping)).code).toBe(0);
    expect(await bench.ask<unknown[]>('tank', 'list')).toHaveLength(4);
    // once more: every tank is there already
    const again = await bring(bench.data, mapping, '--json');
    expect(again.code).toBe(2);
    expect((JSON.parse(again.out) as { refused: unknown[] }).refused.length).toBeGreaterThanOrEqual(4);
  });

  it('keeps nothing when one row is refused', async () => {
    const { data } = newBench();
    const { code, out } = await bring(data, season({ tanks: [...TANKS, 'last;none;'] }));
    expect(code).toBe(2);
    expect(out).toContain('tanks.csv, line 5: volume_l is "none"');
    const store = await openStore(data);
    expect([await store.tanks.list(), await store.moves.list()]).toEqual([[], []]);
    await store.close();
  });

  const [moveFile] = MAPPING.files;
  const cases: [what: string, files: Files, words: string][] = [
    ['no JSON', { mapping: '{' }, 'The mapping is not JSON'],
    ['no files', { mapping: { files: [] } }, 'expected formats, and files with one or more'],
    [
      'a kind that is none',
      { mapping: { files: [{ file: 'tanks.csv', holds: 'pond' }] } },
      'holds is "pond": expected one of animal',
    ],
    [
      'a field that is none',
      { mapping: { files: [{ file: 'tanks.csv', holds: 'tank', columns: { colour: 'x' } }] } },
      'columns has "colour"; known are tank',
    ],
    [
      'a heading that is not there',
      { mapping: { files: [{ ...moveFile, columns: { kind: 'Kind' } }] } },
      'moves.csv has no column "Kind"',
    ],
    [
      'a field without its column',
      { mapping: { formats: { separator: ';' }, files: [{ file: 'tanks.csv', holds: 'tank' }] } },
      'tanks.csv has no column for tank',
    ],
    [
      'a date that can not be read by',
      { mapping: { ...MAPPING, formats: { date: 'DD.MM' } } },
      'date is "DD.MM": expected ISO',
    ],
    ['a zone that is none', { mapping: { ...MAPPING, formats: { zone: 'EST' } } }, 'zone is "EST"'],
    [
      'one sign for two things',
      { mapping: { ...MAPPING, formats: { decimal: ',', thousands: ',' } } },
      'the same sign',
    ],
    ['a format nobody knows', { mapping: { ...MAPPING, formats: { colour: 'red' } } }, 'formats has "colour"'],
    [
      'a file that is not there',
      { mapping: { files: [{ file: 'none.csv', holds: 'tank' }] } },
      "none.csv can't be read",
    ],
    ['a row of another length', { tanks: ['Tank no.;Litres', '1;2;3'] }, 'tanks.csv is no valid CSV'],
  ];
  it.each(cases)('answers 2 for a mapping or file with %s', async (_, files, words) => {
    const { code, out, err } = await bring(newBench().data, season(files), '--dry-run');
    expect([code, out]).toEqual([2, '']);
    expect(err).toContain(words);
  });
});
