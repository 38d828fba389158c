import { openStore } from '@veligrid/storage';
import { describe, expect, it } from 'vitest';
import { beganSeason, newBench, veligrid } from './bench.js';

interface Limits {
  readonly estimate: number;
  readonly low: number;
  readonly high: number;
}
interface TankRow {
  readonly tank: string;
  readonly batch: string;
  readonly there: Limits | null;
}

describe('a season from the command line', () => {
  it('is recorded from broodstock to spat, and comes back', async () => {
    const bench = newBench();
    const { record, ask } = bench;
    await beganSeason(bench);
    // CV-07 of the trade's check values: 68, 96, 103 per mL of 800 mL are 71,200
    const tally = ['--container-ml', '800', '--counts', '68;96;103', '--volume-ml', '1', '--stage', 'd-larva'];
    await record('sample', 'tally', '1-15', ...tally, '--at', '2026-05-06T09:00Z', '--sample', 'day 2');
    const tanks = await ask<TankRow[]>('tank', 'list');
    expect(tanks[0]?.there?.estimate).toBeCloseTo(71_200, 6);
    await record('tank', 'split', '1-15', '--to', '1-16', '--number', '30000', '--at', '2026-05-06T10:00Z');
    await record('tank', 'cull', '1-16', '--number', '1000', '--screen-um', '60', '--at', '2026-05-06T11:00Z');
    await record('tank', 'ship', '1-16', '--all', '--place', 'nursery', '--at', '2026-05-07T11:00Z');
    await record('culture', 'add', 'T-4', '--alga', 'Tisochrysis lutea');
    // CV-18: 39 cells in 9 squares of 0.0001 mL are 43,333 cells/mL; diluted 1 mL to 10 mL ten times that
    const counted = ['--cells', '39', '--counted-ml', '0.0009', '--taken-ml', '1', '--made-up-to-ml', '10'];
    const reading = await record(
      'culture',
      'reading',
      'T-4',
      '--litres',
      '200',
      ...counted,
      '--at',
      '2026-05-06T06:00Z',
    );
    expect(reading['cellsPerMl']).toBeCloseTo(433_333.33, 1);
    const ration = await record(
      'tank',
      'feed',
      '1-15',
      '--culture',
      'T-4',
      '--litres',
      '2.5',
      '--at',
      '2026-05-06T15:00Z',
    );
    expect(ration['cellsPerMl']).toBe(reading['cellsPerMl']);
    await record('tank', 'water', '1-15', '--temperature-c', '26.5', '--at', '2026-05-06T07:00Z');
    const set = ['--number', '40000', '--cultch', 'whole shell', '--shells', '400', '--at', '2026-05-18T09:00Z'];
    await record('tank', 'set', '1-15', ...set);
    await record('batch', 'spat', 'A', '--shells', '20', '--spat', '300', '--at', '2026-05-20T09:00Z');

    const after = await ask<TankRow[]>('tank', 'list');
    expect(after.map(({ tank, batch, there }) => [tank, batch, there && Math.round(there.estimate)])).toEqual([
      ['1-15', 'A', 1200],
      ['1-16', 'empty', null],
    ]);
    const history = await ask<{ history: { what: string; text: string; by: string }[] }>('history', 'A');
    expect(history.history.map(({ what }) => what)).toEqual([
      'spawn',
      'cross',
      'batch begun',
      'stocked',
      'water',
      'counted',
      'split',
      'culled',
      'fed',
      'shipped',
      'put to set',
      'setting begun',
      'spat counted',
      'spawned',
    ]);
    // 15 spat a shell on 400 shells of 40,000 larvae: 15 %
    expect(history.history.find(({ what }) => what === 'spat counted')?.text).toContain(
      '15 a shell, 15 % of the larvae',
    );
    expect(await veligrid('check', '--data', bench.data)).toMatchObject({ code: 0 });
    const animals = await ask<{ animal: string; sex: string }[]>('broodstock', 'list');
    expect(animals.map(({ animal, sex }) => [animal, sex])).toEqual([
      ['N-1', 'female'],
      ['N-2', 'male'],
    ]);
  });

  it('lists and shows for people', async () => {
    const bench = newBench();
    await beganSeason(bench);
    const list = await veligrid('tank', 'list', '--data', bench.data);
    expect(list.out).toMatch(/^tank +volume L +batch +there\n1-15 +2,000 +A +2,000,000\n1-16 +1,000 +empty\n$/);
    const show = await veligrid('batch', 'show', 'a', '--data', bench.data);
    expect(show.out).toMatch(/dam +N-1 +100/);
    expect(show.out).toContain('not counted yet');
    expect((await veligrid('spawn', 'show', 'Spawn 1', '--data', bench.data)).out).toMatch(
      /X1 +2026-05-04 09:00Z +N-1 +N-2 +no +4,000,000/,
    );
    for (const noun of ['broodstock', 'spawn', 'batch', 'tank', 'culture', 'sample']) {
      expect((await veligrid(noun, 'list', '--data', bench.data)).code).toBe(0);
    }
    expect((await veligrid('culture', 'list', '--data', bench.data)).out).toBe('There is no culture yet.\n');
    expect((await veligrid('broodstock', 'show', 'N-2', '--data', bench.data)).out).toMatch(/X1 +sire/);
  });

  it('pours back what is left of a live sample, never of a fixed one', async () => {
    const bench = newBench();
    await beganSeason(bench);
    const tally = ['--container-ml', '2000', '--counts', '100', '--volume-ml', '0.1', '--at', '2026-05-06T09:00Z'];
    await bench.record('sample', 'tally', '1-15', ...tally, '--sample', 'live');
    await bench.record(
      'sample',
      'tally',
      '1-15',
      ...tally,
      '--sample',
      'fixed',
      '--state',
      'fixed',
      '--fixative',
      "Lugol's",
    );
    const back = ['--batch', 'A', '--number', '50', '--at', '2026-05-06T10:00Z'];
    await bench.record('tank', 'return', '1-15', ...back, '--count', 'live');
    const fixed = await bench.refused('tank', 'return', '1-15', ...back, '--count', 'fixed');
    expect(fixed).toEqual({
      code: 4,
      out: '',
      err: "This can't have happened: a fixed sample never goes back into a tank.\n",
    });
  });

  it('corrects and takes back with a reason; what was said stays in the record', async () => {
    const bench = newBench();
    await beganSeason(bench);
    const { id } = await bench.record('tank', 'cull', '1-15', '--number', '5000', '--at', '2026-05-05T09:00Z');
    await bench.record('correct', 'move', String(id), 'number=500', 'note=one zero too many', '--why', 'slip');
    const there = async (): Promise<unknown> => (await bench.ask<TankRow[]>('tank', 'list'))[0]?.there?.estimate;
    expect(await there()).toBe(1_999_500);
    await bench.record('take-back', 'move', String(id), '--why', 'another tank');
    expect(await there()).toBe(2e6);
    const store = await openStore(bench.data);
    const versions = await store.moves.versions(String(id));
    expect(versions.map((one) => [one.number, one.why, one.withdrawn, one.by])).toEqual([
      [5000, null, false, 'Day technician'],
      [500, 'slip', false, 'Day technician'],
      [500, 'another tank', true, 'Day technician'],
    ]);
    const [stocked] = await store.moves.list();
    await store.close();
    await bench.record('tank', 'ship', '1-15', '--number', '1000', '--at', '2026-05-06T09:00Z');
    const broken = await bench.refused('take-back', 'move', stocked?.id ?? '', '--why', 'no');
    expect(broken.code).toBe(4);
    expect(broken.err).toContain('could not have happened: the tank they are taken from is empty');
  });

  const cases: [what: string, args: string[], words: string][] = [
    [
      'a tank that is not there',
      ['tank', 'stock', '9', '--batch', 'A', '--number', '1'],
      'There is no tank "9". There are: 1-15, 1-16.',
    ],
    [
      'a number that is none',
      ['tank', 'cull', '1-15', '--number', '1,000'],
      'number is "1,000": expected a number written with "."',
    ],
    [
      'a day that no calendar has',
      ['tank', 'water', '1-15', '--ph', '8', '--at', '2026-02-30'],
      'at is "2026-02-30": expected a date as ISO 8601',
    ],
    ['a name that is taken', ['tank', 'add', '1-15'], 'There is a tank "1-15" already.'],
    ['no number at all', ['tank', 'cull', '1-15'], 'number is missing'],
    ['water without anything noted', ['tank', 'water', '1-15'], 'Nothing is noted'],
    [
      'half a dilution',
      ['sample', 'tally', '1-15', '--container-ml', '1', '--counts', '1', '--volume-ml', '1', '--taken-ml', '1'],
      'A dilution needs both',
    ],
    [
      'a tally without a volume',
      ['sample', 'tally', '1-15', '--container-ml', '1', '--counts', '1'],
      'Expected volume_ml to be one for all',
    ],
    [
      'half an animal',
      ['sample', 'tally', '1-15', '--container-ml', '1', '--counts', '1.5', '--volume-ml', '1'],
      'a whole number from 0 to 1e9',
    ],
    [
      'dead of a fixed sample',
      [
        'sample',
        'tally',
        '1-15',
        '--container-ml',
        '1',
        '--counts',
        '1',
        '--volume-ml',
        '1',
        '--dead',
        '1',
        '--state',
        'fixed',
        '--fixative',
        'formalin',
      ],
      'can not be told from the living',
    ],
    [
      'a parent that is not there',
      ['spawn', 'cross', 'X9', '--spawn', 'Spawn 1', '--dams', 'Q', '--sires', 'N-2'],
      'There is no animal "Q"',
    ],
    [
      'a cross without eggs in a batch',
      ['batch', 'add', 'B', '--crosses', 'X1'],
      'crosses is "X1": expected NAME=NUMBER',
    ],
    [
      'a choice that is none',
      ['broodstock', 'add', 'Q', '--sex', 'maybe'],
      'Allowed choices are female, male, both, unknown',
    ],
    [
      'a field that can not be corrected',
      ['correct', 'move', 'x', 'colour=red', '--why', 'w'],
      '"colour=red" changes nothing',
    ],
    [
      'something that is not recorded so',
      ['correct', 'soup', 'x', 'a=b', '--why', 'w'],
      'There is nothing to correct called "soup"',
    ],
    ['nobody who says it', ['tank', 'add', 'Q', '--by', ' '], 'by is empty'],
  ];
  it.each(cases)('answers 2 for %s, in one sentence, and keeps nothing', async (_, args, words) => {
    const bench = newBench();
    await beganSeason(bench);
    const before = await veligrid('tank', 'list', '--data', bench.data);
    const hasBy = args.includes('--by');
    const { code, out, err } = hasBy ? await veligrid(...args, '--data', bench.data) : await bench.refused(...args);
    expect([code, out]).toEqual([2, '']);
    expect(err).toContain(words);
    expect(await veligrid('tank', 'list', '--data', bench.data)).toEqual(before);
  });

  it('answers 4 for what can not have happened, and for a slip of the hand', async () => {
    const bench = newBench();
    await beganSeason(bench);
    await bench.record('batch', 'add', 'B');
    const other = await bench.refused('tank', 'stock', '1-15', '--batch', 'B', '--number', '5');
    expect([other.code, other.err]).toEqual([4, expect.stringContaining('holds another batch: merge instead')]);
    const slip = await bench.refused('tank', 'cull', '1-15', '--number', '1e9');
    expect([slip.code, slip.err]).toEqual([4, expect.stringContaining('the tank holds 2,000,000 at most')]);
  });

  it('where there are accounts, only who may count can record', async () => {
    const bench = newBench();
    await beganSeason(bench);
    const store = await openStore(bench.data);
    await store.staff.add({ name: 'Ada', role: 'counter', passwordHash: null, active: true }, { by: 'Ada' });
    await store.staff.add({ name: 'Vic', role: 'viewer', passwordHash: null, active: true }, { by: 'Ada' });
    await store.close();
    for (const by of ['Day technician', 'Vic']) {
      const { code, err } = await veligrid('tank', 'add', 'Q', '--data', bench.data, '--by', by);
      expect([code, err]).toEqual([2, `"${by}" may not record here. Give one of: Ada.\n`]);
    }
    expect((await veligrid('tank', 'add', 'Q', '--data', bench.data, '--by', 'ada')).code).toBe(0);
  });

  it('looks at no folder without a store, and makes none', async () => {
    const { code, err } = await veligrid('tank', 'list', '--data', newBench().data);
    expect([code, err]).toEqual([2, expect.stringContaining('There is no store in')]);
  });
});
