import { pedigreeOf, seasonLedger, type Parentage } from '@veligrid/hatchery';
import { describe, expect, it } from 'vitest';
import { day, move } from './moves.js';

const cross = (id: string, dams: string[], sires: string[], pooledSperm = false): Parentage['crosses'][number] => ({
  id,
  name: id,
  spawnId: 'S',
  happenedAt: day(1),
  dams,
  sires,
  pooledSperm,
  eggs: null,
  sperm: null,
  note: '',
});

const gave = (animalId: string, gametes: number | null): Parentage['results'][number] => ({
  spawnId: 'S',
  animalId,
  happenedAt: day(1),
  outcome: 'spawned',
  sex: 'female',
  gameteMl: null,
  gametes,
  note: '',
});

const origin = (batchId: string, crossId: string, eggs: number): Parentage['origins'][number] => ({
  batchId,
  crossId,
  happenedAt: day(1),
  eggs,
  note: '',
});

describe('the pedigree of a batch', () => {
  it('goes by eggs to crosses, and within a cross by what each dam gave', () => {
    // by pencil: 3/4 from x (dams 2:1), 1/4 from y
    const pedigree = pedigreeOf('A', seasonLedger({ moves: [], counts: [] }), {
      origins: [origin('A', 'x', 3e6), origin('A', 'y', 1e6)],
      crosses: [cross('x', ['d1', 'd2'], ['s1'], false), cross('y', ['d1'], ['s2', 's3'], true)],
      results: [gave('d1', 2e6), gave('d2', 1e6)],
    });
    expect(pedigree.crosses).toEqual([
      { id: 'x', share: 0.75 },
      { id: 'y', share: 0.25 },
    ]);
    expect(pedigree.dams).toEqual([
      { id: 'd1', share: 0.75 },
      { id: 'd2', share: 0.25 },
    ]);
    expect(pedigree.sires).toEqual([
      { id: 's1', share: 0.75 },
      { id: 's2', share: 0.125 },
      { id: 's3', share: 0.125 },
    ]);
    expect([pedigree.unknown, pedigree.takenAsEqual]).toEqual([0, ['s2', 's3']]);
  });

  it('takes dams as equal when what one of them gave is not known', () => {
    const pedigree = pedigreeOf(
      'A',
      { stays: [] },
      {
        origins: [origin('A', 'x', 1)],
        crosses: [cross('x', ['d1', 'd2'], ['s1'])],
        results: [gave('d1', 2e6), gave('d2', null)],
      },
    );
    expect(pedigree.dams.map(({ share }) => share)).toEqual([0.5, 0.5]);
    expect(pedigree.takenAsEqual).toEqual(['d1', 'd2']);
  });

  it('of a merged batch is of all its parts by numbers, and says what nobody recorded', () => {
    const ledger = seasonLedger({
      moves: [
        move('1', 'stock', { toTankId: 'T1', number: 300 }),
        move('2', 'stock', { toTankId: 'T2', number: 100, batchId: 'B' }),
        move('3', 'merge', {
          happenedAt: day(2),
          fromTankId: 'T1',
          toTankId: 'T2',
          number: 300,
          emptied: true,
          intoBatchId: 'M',
        }),
        // all gone since: what it was still counts
        move('4', 'set', { happenedAt: day(3), batchId: 'M', fromTankId: 'T2', number: 400, emptied: true }),
      ],
      counts: [],
    });
    const pedigree = pedigreeOf('M', ledger, {
      origins: [origin('A', 'x', 5)],
      crosses: [cross('x', ['d1'], ['s1'])],
      results: [],
    });
    expect(pedigree.batches).toEqual([
      { id: 'A', share: 0.75 },
      { id: 'B', share: 0.25 },
    ]);
    expect(pedigree.dams).toEqual([{ id: 'd1', share: 0.75 }]);
    expect(pedigree.unknown).toBe(0.25);
  });
});
