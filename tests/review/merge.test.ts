import { describe, expect, it } from 'vitest';
import { mergeDecisions, undoLast, viewOf, type Choice, type Decision } from '@veligrid/review';
import { box, photoOf, reviewer } from './support.js';

const photo = 'p.jpg';
const photos = [photoOf(photo), photoOf('q.jpg')];
const base = [reviewer('Cai', 8)({ kind: 'note', photo, text: 'start' })];

function merged(mine: readonly Choice[], theirs: readonly Choice[]): ReturnType<typeof mergeDecisions> {
  const [ana, ben] = [reviewer('Ana', 9), reviewer('Ben', 10)];
  const [own, other] = [
    [...base, ...mine.map(ana)],
    [...base, ...theirs.map(ben)],
  ];
  const result = mergeDecisions(photos, base, { mine: own, theirs: other });
  const swapped = mergeDecisions(photos, base, { mine: other, theirs: own });
  expect(swapped.log).toEqual(result.log);
  expect(swapped.conflicts).toHaveLength(result.conflicts.length);
  return result;
}
const kinds = (log: readonly Decision[]): string[] => log.map(({ kind }) => kind);
const drawn = (id: string, x: number): { id: string; outline: [number, number][]; stage: 'umbo' } => ({
  id,
  outline: box(x, 50, 20),
  stage: 'umbo',
});

describe('two reviewers', () => {
  it('different objects, photos and sides of one object all stand', () => {
    const { log, conflicts } = merged(
      [
        { kind: 'relabel', photo, object: 'a', stage: 'umbo' },
        { kind: 'remove', photo, object: 'b' },
      ],
      [
        { kind: 'form', photo, object: 'a', form: 'abnormal' },
        { kind: 'remove', photo: 'q.jpg', object: 'a' },
        { kind: 'note', photo, text: 'fine' },
      ],
    );
    expect(conflicts).toEqual([]);
    expect(kinds(log)).toEqual(['note', 'relabel', 'remove', 'form', 'remove', 'note']);
    expect(viewOf(photos, log)[0].objects[0]).toMatchObject({ stage: 'umbo', form: 'abnormal' });
  });

  it('the same decision is kept once, the earlier one', () => {
    const same: Choice = { kind: 'remove', photo, object: 'a' };
    const { log, conflicts } = merged([same], [same]);
    expect(conflicts).toEqual([]);
    expect(log.map(({ id }) => id)).toEqual(['Cai-1', 'Ana-1']);
  });

  it.each<[Choice, Choice, string]>([
    [
      { kind: 'relabel', photo, object: 'a', stage: 'umbo' },
      { kind: 'relabel', photo, object: 'a', stage: 'eyed' },
      'Both decided on a, and not the same.',
    ],
    [
      { kind: 'remove', photo, object: 'a' },
      { kind: 'relabel', photo, object: 'a', stage: 'eyed' },
      'One has taken a away that the other still changed.',
    ],
    [
      { kind: 'join', photo, objects: ['a', 'b'], into: drawn('ab', 40) },
      { kind: 'remove', photo, object: 'b' },
      'One has taken b away that the other still changed.',
    ],
    [
      { kind: 'add', photo, drawn: drawn('x', 50) },
      { kind: 'add', photo, drawn: drawn('y', 55) },
      'Both drew an object in the same place.',
    ],
    [
      { kind: 'add', photo, drawn: drawn('x', 20) },
      { kind: 'add', photo, drawn: drawn('x', 80) },
      'Both drew an object and called it x.',
    ],
    [
      { kind: 'choose-squares', photo, squares: ['A1'] },
      { kind: 'choose-squares', photo, squares: ['B1'] },
      'Both chose squares, and not the same ones.',
    ],
  ])('%j against %j', (mine, theirs, reason) => {
    const { log, conflicts } = merged([mine], [theirs]);
    expect(conflicts.map((conflict) => conflict.reason)).toEqual([reason]);
    expect(log).toEqual(base);
  });

  it('what stands on a decision in conflict waits with it', () => {
    const { log, conflicts } = merged(
      [
        { kind: 'join', photo, objects: ['a', 'b'], into: drawn('ab', 40) },
        { kind: 'form', photo, object: 'ab', form: 'normal' },
      ],
      [{ kind: 'remove', photo, object: 'a' }],
    );
    expect(conflicts).toHaveLength(1);
    expect(log).toEqual(base);
  });

  it('two drawn apart both stand', () => {
    const { log } = merged(
      [{ kind: 'add', photo, drawn: drawn('x', 50) }],
      [{ kind: 'add', photo, drawn: drawn('y', 80) }],
    );
    expect(viewOf(photos, log)[0].objects).toHaveLength(7);
  });

  it('what was undone is in nobody’s way', () => {
    const own = [...base, reviewer('Ana', 9)({ kind: 'remove', photo, object: 'a' })];
    const undo = undoLast(own, { id: 'u', by: 'Ana', at: '2026-06-01T09:30:00Z' });
    const theirs = [...base, reviewer('Ben', 10)({ kind: 'relabel', photo, object: 'a', stage: 'eyed' })];
    const { log, conflicts } = mergeDecisions(photos, base, { mine: undo ? [...own, undo] : own, theirs });
    expect(conflicts).toEqual([]);
    expect(viewOf(photos, log)[0].objects[0].stage).toBe('eyed');
  });

  it('undoing a common decision is kept', () => {
    const undo: Decision = { id: 'u', by: 'Ana', at: '2026-06-01T09:00:00Z', kind: 'undo', decision: 'Cai-1' };
    const { log } = mergeDecisions(photos, base, { mine: [...base, undo], theirs: base });
    expect(viewOf(photos, log)[0].notes).toEqual([]);
  });

  it('refuses a log with another beginning', () => {
    expect(() => mergeDecisions(photos, base, { mine: [], theirs: base })).toThrow(
      'one that begins with the common one',
    );
  });
});
