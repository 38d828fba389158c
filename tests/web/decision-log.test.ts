import { afterEach, describe, expect, it, vi } from 'vitest';
import type { LoggedDecision, NewDecision, Problem } from '@veligrid/api';
import { Refusal } from '../../apps/web/src/api/ask.js';
import { Unreachable } from '../../apps/web/src/api/reach.js';
import { DecisionLog, type DecisionServer } from '../../apps/web/src/state/decision-log.js';
import type { Shelf } from '../../apps/web/src/state/waiting.js';

/** A browser's storage in memory. */
function shelf(): Shelf {
  const kept = new Map<string, string>();
  return {
    getItem: (key) => kept.get(key) ?? null,
    setItem: (key, value) => void kept.set(key, value),
    removeItem: (key) => void kept.delete(key),
  };
}

const signed = (one: NewDecision, by = 'Ana'): LoggedDecision => ({ ...one, by, at: '2026-06-01T09:30:00.000Z' });

/** A server that keeps what it is sent, unless told to fail. */
function server(): DecisionServer & { log: LoggedDecision[]; fail: Error | null; clash: LoggedDecision | null } {
  const self = {
    log: [] as LoggedDecision[],
    /** What somebody else decided of the same larva meanwhile. */
    clash: null as LoggedDecision | null,
    fail: null as Error | null,
    load: async (known: number) => ({ order: self.log.length, decisions: self.log.slice(known) }),
    store: async (expected: number, decisions: readonly NewDecision[]) => {
      if (self.fail !== null) throw self.fail;
      const [theirs, [mine]] = [self.clash, decisions];
      if (theirs !== null && mine !== undefined) {
        const conflicts = [{ mine: signed(mine), theirs, reason: 'Both decided on 1, and not the same.' }];
        throw problem({ newer: [theirs], conflicts });
      }
      const newer = self.log.slice(expected);
      const known = new Set(self.log.map(({ id }) => id));
      const stored = decisions.map((one) => signed(one));
      self.log.push(...stored.filter(({ id }) => !known.has(id)));
      return { order: self.log.length, stored, newer };
    },
  };
  return self;
}

const problem = (more: Partial<Problem>): Refusal =>
  new Refusal({ type: 'about:blank', title: 'no', status: 409, detail: 'no', kind: 'conflict', ...more });

function open(one: DecisionServer, kept: Shelf = shelf()): { log: DecisionLog; refused: Problem[] } {
  const refused: Problem[] = [];
  const log = new DecisionLog({
    sample: 's',
    server: one,
    shelf: kept,
    who: () => 'Ana',
    onChange: () => undefined,
    onRefused: (why) => refused.push(why),
  });
  return { log, refused };
}

const eyed = { kind: 'relabel', photo: 'p', object: '1', stage: 'eyed' } as const;
const settled = (): Promise<unknown> => vi.advanceTimersByTimeAsync(0);

afterEach(() => {
  vi.useRealTimers();
});

describe('decisions of a sample', () => {
  it('are seen at once and stored soon, without who and when', async () => {
    vi.useFakeTimers();
    const far = server();
    const store = vi.spyOn(far, 'store');
    const { log } = open(far);
    const made = log.decide(eyed);
    expect(log.log.value).toEqual([made]);
    expect(log.waiting.value).toBe(1);
    await settled();
    expect(log.waiting.value).toBe(0);
    expect(store.mock.calls[0]?.[1]).toEqual([{ ...eyed, id: made.id }]);
    expect(far.log.map(({ id }) => id)).toEqual([made.id]);
  });

  it('wait in the browser while the server is away, outlive the page, and are stored once', async () => {
    vi.useFakeTimers();
    const far = server();
    const kept = shelf();
    far.fail = new Unreachable('away');
    const first = open(far, kept).log;
    first.decide(eyed);
    first.decide({ ...eyed, stage: 'umbo' });
    await settled();
    expect(first.reachable.value).toBe(false);
    first.close();
    far.fail = null;
    const second = open(far, kept).log;
    await second.catchUp();
    await settled();
    expect(far.log).toHaveLength(2);
    expect(second.waiting.value).toBe(0);
    expect(open(far, kept).log.log.value).toEqual([]);
  });

  it('are tried again by themselves', async () => {
    vi.useFakeTimers();
    const far = server();
    far.fail = new Unreachable('away');
    const { log } = open(far);
    log.decide(eyed);
    await settled();
    far.fail = null;
    await vi.advanceTimersByTimeAsync(5000);
    expect(far.log).toHaveLength(1);
    expect(log.reachable.value).toBe(true);
  });

  it('of others come in between, in the order of the server', async () => {
    vi.useFakeTimers();
    const far = server();
    const { log } = open(far);
    far.log.push(signed({ ...eyed, id: 'x', object: '2' }, 'Ben'));
    const mine = log.decide(eyed);
    await settled();
    expect(log.log.value.map(({ id }) => id)).toEqual(['x', mine.id]);
  });

  it('that clash wait until one of both is chosen', async () => {
    vi.useFakeTimers();
    const far = server();
    const theirs = signed({ ...eyed, id: 'x', stage: 'dead' }, 'Ben');
    far.clash = theirs;
    const { log } = open(far);
    const mine = log.decide(eyed);
    await settled();
    expect(log.conflicts.value).toHaveLength(1);
    expect(log.waiting.value).toBe(1);
    far.log.push(theirs);
    far.clash = null;
    log.settle('mine');
    await settled();
    expect(far.log.map(({ id }) => id)).toEqual(['x', mine.id]);
  });

  it('that clash are given up for those of the other', async () => {
    vi.useFakeTimers();
    const far = server();
    const theirs = signed({ ...eyed, id: 'x', stage: 'dead' }, 'Ben');
    far.clash = theirs;
    const { log } = open(far);
    log.decide(eyed);
    await settled();
    log.settle('theirs');
    expect(log.log.value.map(({ id }) => id)).toEqual(['x']);
    expect(log.waiting.value).toBe(0);
  });

  it('that the server will never take are given up, and the reason is told', async () => {
    vi.useFakeTimers();
    const far = server();
    far.fail = problem({ kind: 'refused', detail: 'The count is signed off.' });
    const { log, refused } = open(far);
    log.decide(eyed);
    await settled();
    expect(refused.map(({ detail }) => detail)).toEqual(['The count is signed off.']);
    expect(log.log.value).toEqual([]);
  });

  it('are undone and redone by entries of their own', async () => {
    vi.useFakeTimers();
    const far = server();
    const { log } = open(far);
    const made = log.decide(eyed);
    expect(log.undo()).toMatchObject({ kind: 'undo', decision: made.id });
    expect(log.undo()).toBeNull();
    expect(log.redo()).toMatchObject({ kind: 'redo', decision: made.id });
    await settled();
    expect(far.log.map(({ kind }) => kind)).toEqual(['relabel', 'undo', 'redo']);
  });
});
