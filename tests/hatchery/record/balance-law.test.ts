import {
  balanceOf,
  batchesIn,
  INS,
  OUTS,
  presentIn,
  seasonLedger,
  type Move,
  type TankCount,
} from '@veligrid/hatchery';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { normalFrom, seededRandom } from '../../support/seeded-random.js';
import { count, day, move } from './moves.js';

/** One thing that may happen; tanks, batches and parts are picked by numbers. */
interface Act {
  readonly what: Move['kind'] | 'die' | 'count';
  readonly from: number;
  readonly to: number;
  /** Part of what is there, 0..1. */
  readonly part: number;
  /** A new batch for what is moved. */
  readonly renamed: boolean;
  readonly all: boolean;
}

const act: fc.Arbitrary<Act> = fc.record({
  what: fc.constantFrom<Act['what']>(
    'stock',
    'split',
    'merge',
    'drop',
    'cull',
    'sample',
    'ship',
    'set',
    'discard',
    'die',
    'count',
  ),
  from: fc.nat(4),
  to: fc.nat(4),
  part: fc.double({ min: 0.01, max: 1, noNaN: true }),
  renamed: fc.boolean(),
  all: fc.boolean(),
});

/** What is really in a tank. */
interface Tank {
  batch: string;
  /** Animals by the batch they were stocked as. */
  animals: Map<string, number>;
  died: number;
}

const total = (animals: ReadonlyMap<string, number>): number => [...animals.values()].reduce((a, b) => a + b, 0);

/** A made-up world in which every animal is known, and what its staff record. */
class World {
  readonly tanks = new Map<string, Tank>();
  readonly moves: Move[] = [];
  readonly counts: TankCount[] = [];
  readonly diedOf = new Map<string, number>();
  stocked = 0;
  #hours = 0;
  #batches = 0;

  #now(): string {
    this.#hours += 1;
    return day(1, this.#hours);
  }

  #newBatch(): string {
    this.#batches += 1;
    return `batch ${this.#batches}`;
  }

  /** Takes a part of every kind of animal in a tank. */
  #take(tank: Tank, part: number): Map<string, number> {
    const taken = new Map<string, number>();
    for (const [batch, number] of tank.animals) {
      taken.set(batch, number * part);
      tank.animals.set(batch, number * (1 - part));
    }
    return taken;
  }

  #put(name: string, batch: string, animals: ReadonlyMap<string, number>): void {
    const tank = this.tanks.get(name) ?? { batch, animals: new Map<string, number>(), died: 0 };
    tank.batch = batch;
    for (const [of, number] of animals) tank.animals.set(of, (tank.animals.get(of) ?? 0) + number);
    this.tanks.set(name, tank);
  }

  #record(kind: Move['kind'], fields: Partial<Move>): void {
    this.moves.push(move(`move ${this.moves.length}`, kind, { happenedAt: this.#now(), ...fields }));
  }

  #stock(to: string, part: number): void {
    const there = this.tanks.get(to);
    const batch = there?.batch ?? this.#newBatch();
    const number = Math.ceil(part * 1e6);
    this.stocked += number;
    this.#record('stock', { batchId: batch, toTankId: to, number });
    this.#put(to, batch, new Map([[batch, number]]));
  }

  /** Whether staff would do it: not into its own tank, and onto another batch by a merge only. */
  #sensible(kind: Move['kind'], source: Tank, target: string | null, from: string): boolean {
    if (target === null) return true;
    const there = this.tanks.get(target);
    if (target === from) return false;
    return kind === 'merge' ? there !== undefined : there === undefined || there.batch === source.batch;
  }

  #mayRename(kind: Move['kind'], target: string | null): boolean {
    return target !== null && (kind === 'merge' || !this.tanks.has(target));
  }

  #move(kind: Move['kind'], from: string, to: string, { part, all, renamed }: Act): void {
    const source = this.tanks.get(from);
    const target = ['split', 'merge', 'drop'].includes(kind) ? to : null;
    if (source === undefined || !this.#sensible(kind, source, target, from)) return;
    const into = renamed && this.#mayRename(kind, target) ? this.#newBatch() : null;
    const animals = this.#take(source, all ? 1 : part);
    const ends = { fromTankId: from, toTankId: target, intoBatchId: into };
    this.#record(kind, { batchId: source.batch, ...ends, number: total(animals), emptied: all });
    if (all) this.tanks.delete(from);
    if (target !== null) this.#put(target, into ?? this.tanks.get(target)?.batch ?? source.batch, animals);
  }

  #die(name: string, part: number): void {
    const tank = this.tanks.get(name);
    if (tank === undefined) return;
    const dead = total(this.#take(tank, part / 2));
    this.diedOf.set(tank.batch, (this.diedOf.get(tank.batch) ?? 0) + dead);
  }

  count(name: string): void {
    const tank = this.tanks.get(name);
    if (tank === undefined) return;
    this.counts.push(count(`count ${this.counts.length}`, name, this.#now(), [total(tank.animals)]));
  }

  do(one: Act): void {
    const [from, to] = [`tank ${one.from}`, `tank ${one.to}`];
    if (one.what === 'stock') this.#stock(to, one.part);
    else if (one.what === 'die') this.#die(from, one.part);
    else if (one.what === 'count') this.count(from);
    else this.#move(one.what, from, to, one);
  }
}

function lived(acts: readonly Act[], beforeMoves: boolean): World {
  const world = new World();
  for (const one of acts) {
    // staff who count before they touch a tank know every number
    if (beforeMoves && one.what !== 'die') for (const name of [...world.tanks.keys()]) world.count(name);
    world.do(one);
  }
  for (const name of [...world.tanks.keys()]) world.count(name);
  return world;
}

const near = (a: number, b: number, of: number): void => {
  expect(Math.abs(a - b)).toBeLessThanOrEqual(1e-6 * Math.max(1, of));
};

const seasons = fc.array(act, { minLength: 1, maxLength: 40 });

describe('the balance law over any sequence of moves', () => {
  it('stocked + moved in = moved out + alive + culled + sampled + shipped + put to set + discarded + unexplained', () => {
    fc.assert(
      fc.property(seasons, (acts) => {
        const world = lived(acts, false);
        const { stays, refused } = seasonLedger(world);
        expect(refused).toEqual([]);
        const batches = [...new Set(stays.map(({ batchId }) => batchId))];
        const groups = [
          ...stays.map((stay) => [stay]),
          ...batches.map((id) => stays.filter((stay) => stay.batchId === id)),
          stays,
        ];
        for (const group of groups.filter((some) => some.length > 0)) {
          const { lines, alive, unexplained } = balanceOf(group);
          const side = (names: readonly (keyof typeof lines)[]): number =>
            names.reduce((sum, name) => sum + lines[name].estimate, 0);
          near(side(INS), side(OUTS) + (alive?.estimate ?? 0) + (unexplained?.estimate ?? 0), side(INS));
        }
      }),
      { numRuns: 300 },
    );
  });

  it('what nobody can explain is what died, of the season, and of each batch when it is counted before every move', () => {
    fc.assert(
      fc.property(seasons, (acts) => {
        const world = lived(acts, true);
        const { stays, refused } = seasonLedger(world);
        expect(refused).toEqual([]);
        const whole = balanceOf(stays);
        const died = [...world.diedOf.values()].reduce((a, b) => a + b, 0);
        near(whole.unexplained?.estimate ?? 0, died, world.stocked);
        near(whole.lines.stocked.estimate, world.stocked, world.stocked);
        // nothing moved between tanks of one season is in or out of it
        expect([whole.lines.movedIn.estimate, whole.lines.movedOut.estimate]).toEqual([0, 0]);
        for (const batchId of new Set(stays.map((stay) => stay.batchId))) {
          const { unexplained } = balanceOf(stays.filter((stay) => stay.batchId === batchId));
          near(unexplained?.estimate ?? 0, world.diedOf.get(batchId) ?? 0, world.stocked);
        }
      }),
      { numRuns: 300 },
    );
  });

  it('exact numbers without deaths leave nothing to explain, and splits and merges keep every animal of every batch', () => {
    fc.assert(
      fc.property(seasons, (acts) => {
        const world = lived(
          acts.filter(({ what }) => what !== 'die'),
          false,
        );
        const { stays } = seasonLedger(world);
        for (const stay of stays) expect(['no-measurable-loss']).toContain(balanceOf([stay]).verdict);
        const lasting = stays.filter(({ endedAt }) => endedAt === null);
        expect(lasting.map(({ tankId }) => tankId).toSorted()).toEqual([...world.tanks.keys()].toSorted());
        for (const stay of lasting) {
          const tank = world.tanks.get(stay.tankId);
          expect(stay.batchId).toBe(tank?.batch);
          const there = presentIn(stay).estimate;
          near(there, total(tank?.animals ?? new Map()), world.stocked);
          for (const [batch, number] of tank?.animals ?? [])
            near((stay.shares.get(batch) ?? 0) * there, number, world.stocked);
        }
        for (const { batchId } of lasting) {
          const shares = batchesIn({ stays }, batchId);
          near(
            [...shares.values()].reduce((a, b) => a + b, 0),
            1,
            1,
          );
        }
      }),
      { numRuns: 300 },
    );
  });

  it('no return of a fixed sample ever changes a number', () => {
    fc.assert(
      fc.property(seasons, fc.nat(4), fc.double({ min: 1, max: 1e6, noNaN: true }), (acts, tank, number) => {
        const world = lived(acts, false);
        const before = seasonLedger(world);
        const batchId = world.tanks.get(`tank ${tank}`)?.batch ?? 'none';
        const fields = { happenedAt: day(20), batchId, toTankId: `tank ${tank}`, number, sampleId: 's' };
        const back = move('back', 'return', fields);
        const after = seasonLedger({
          counts: world.counts,
          moves: [...world.moves, back],
          fixedSamples: new Set(['s']),
        });
        expect(after.refused.map(({ id }) => id)).toEqual(['back']);
        expect(after.stays).toEqual(before.stays);
      }),
      { numRuns: 100 },
    );
  });

  it('limits of what nobody can explain hold the truth in about 95 of 100 seasons of counts with limits', () => {
    // 2,000 seasons of one tank: stocked and counted with normal errors of 5 %; limits are 1.96 standard errors
    const normal = normalFrom(seededRandom(3));
    let held = 0;
    for (let i = 0; i < 2000; i += 1) {
      const [stocked, alive] = [1e6 * (1 + 0.05 * normal()), 7e5 * (1 + 0.05 * normal())];
      const { stays } = seasonLedger({
        moves: [move('1', 'stock', { toTankId: 'T', number: stocked, low: stocked - 98_000, high: stocked + 98_000 })],
        counts: [
          {
            ...count('c', 'T', day(2), [alive]),
            alive: { estimate: alive, low: alive - 68_600, high: alive + 68_600 },
          },
        ],
      });
      const { low = 0, high = 0 } = balanceOf(stays).unexplained ?? {};
      if (low <= 3e5 && 3e5 <= high) held += 1;
    }
    // five standard errors of a share of 0.95 in 2,000
    expect(Math.abs(held / 2000 - 0.95)).toBeLessThan(5 * Math.sqrt((0.95 * 0.05) / 2000));
  });
});
