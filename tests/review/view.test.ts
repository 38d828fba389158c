import { describe, expect, it } from 'vitest';
import { redoLast, undoLast, viewOf, type Decision, type Made } from '@veligrid/review';
import type { PhotoCount } from '@veligrid/model';
import { isInside, outlineMeasures } from '../../packages/review/src/outline.js';
import { box, found, photoOf, reviewer } from './support.js';

const photo = 'p.jpg';
const photos = [photoOf(photo)];
const ids = (log: readonly Decision[]): string[] => viewOf(photos, log)[0].objects.map(({ id }) => id);

describe('decisions', () => {
  it('are applied in order and leave the found objects as they were', () => {
    const before = JSON.stringify(photos);
    const decide = reviewer('Ana', 9);
    const log = [
      decide({ kind: 'relabel', photo, object: 'a', stage: 'd-larva' }),
      decide({ kind: 'form', photo, object: 'a', form: 'abnormal' }),
      decide({ kind: 'remove', photo, object: 'b' }),
      decide({ kind: 'relabel', photo, object: 'c', stage: 'debris' }),
      decide({ kind: 'add', photo, drawn: { id: 'new', outline: box(130, 80, 20), stage: 'umbo' } }),
      decide({ kind: 'note', photo, text: 'blurred left' }),
    ];
    const [view] = viewOf(photos, log);
    expect(view.objects.map(({ id, stage, counted }) => [id, stage, counted])).toEqual([
      ['a', 'd-larva', true],
      ['c', 'debris', false],
      ['d', 'unsure', true],
      ['e', 'unsure', false],
      ['new', 'umbo', true],
    ]);
    expect(view.objects[0]).toMatchObject({ form: 'abnormal', decisions: ['Ana-1', 'Ana-2'] });
    expect(view.notes).toEqual([{ by: 'Ana', at: '2026-06-01T09:06:00Z', text: 'blurred left' }]);
    expect(JSON.stringify(photos)).toBe(before);
  });

  it('a drawn box of 20 px at 2 um a pixel is 56.6 um along its diagonal, in the square that holds its middle', () => {
    const log = [
      reviewer('Ana', 9)({ kind: 'add', photo, drawn: { id: 'new', outline: box(130, 80, 20), stage: 'umbo' } }),
    ];
    const drawn = viewOf(photos, log)[0].objects.at(-1);
    expect(drawn).toMatchObject({ x: 130, y: 80, square: 'B1', form: 'not-judged' });
    expect(drawn?.lengthUm).toBeCloseTo(2 * Math.hypot(20, 20), 10);
  });

  it('split, join and redraw', () => {
    const decide = reviewer('Ana', 9);
    const log = [
      decide({
        kind: 'split',
        photo,
        object: 'a',
        into: [
          { id: 'a1', outline: box(18, 20, 5), stage: 'd-larva' },
          { id: 'a2', outline: box(24, 20, 5), stage: 'd-larva' },
        ],
      }),
      decide({ kind: 'join', photo, objects: ['b', 'c'], into: { id: 'bc', outline: box(65, 65, 30), stage: 'umbo' } }),
      decide({ kind: 'redraw', photo, object: 'd', outline: box(90, 20, 12) }),
    ];
    expect(ids(log)).toEqual(['d', 'e', 'a1', 'a2', 'bc']);
    expect(viewOf(photos, log)[0].objects[0]).toMatchObject({ x: 90, square: 'A1' });
  });

  it('a cut object stays uncounted however it is called', () => {
    const log = [reviewer('Ana', 9)({ kind: 'relabel', photo, object: 'e', stage: 'umbo' })];
    expect(viewOf(photos, log)[0].objects.find(({ id }) => id === 'e')).toMatchObject({
      stage: 'umbo',
      counted: false,
    });
  });

  it('without a scale a drawn outline has no length', () => {
    const bare = [
      {
        ...photoOf(photo),
        scale: { umPerPx: null, source: 'none' as const, relativeStandardUncertainty: null },
        grid: null,
      },
    ];
    const log = [reviewer('Ana', 9)({ kind: 'redraw', photo, object: 'd', outline: box(90, 20) })];
    expect(viewOf(bare, log)[0].objects[3]).toMatchObject({ lengthUm: null, square: null });
  });
});

describe('undo and redo', () => {
  const decide = reviewer('Ana', 9);
  const first = decide({ kind: 'remove', photo, object: 'a' });
  const second = decide({ kind: 'remove', photo, object: 'b' });
  const other = reviewer('Ben', 10)({ kind: 'remove', photo, object: 'c' });
  const made = (id: string, by = 'Ana'): Made => ({ id, by, at: '2026-06-01T11:00:00Z' });
  const grown = (log: readonly Decision[], entry: Decision | null): Decision[] =>
    entry === null ? [...log] : [...log, entry];

  it('go back and forth through one person’s decisions, others’ stay', () => {
    let log: Decision[] = [first, second, other];
    log = grown(log, undoLast(log, made('u1')));
    expect(ids(log)).toEqual(['b', 'd', 'e']);
    log = grown(log, undoLast(log, made('u2')));
    expect(ids(log)).toEqual(['a', 'b', 'd', 'e']);
    expect(undoLast(log, made('u3'))).toBeNull();
    log = grown(log, redoLast(log, made('r1')));
    expect(ids(log)).toEqual(['b', 'd', 'e']);
    log = grown(log, redoLast(log, made('r2')));
    expect(ids(log)).toEqual(['d', 'e']);
    expect(redoLast(log, made('r3'))).toBeNull();
    expect(log).toHaveLength(7);
  });

  it('a new decision ends redoing', () => {
    const undone = grown([first], undoLast([first], made('u1')));
    const log = [...undone, { ...second, id: 'later' }];
    expect(redoLast(log, made('r1'))).toBeNull();
    expect(redoLast(undone, made('r1', 'Ben'))).toBeNull();
  });

  it('what stood on an undone decision is refused, not guessed', () => {
    const added = decide({ kind: 'add', photo, drawn: { id: 'new', outline: box(30, 30), stage: 'umbo' } });
    const named = reviewer('Ben', 12)({ kind: 'relabel', photo, object: 'new', stage: 'eyed' });
    const undo: Decision = { ...made('u9'), kind: 'undo', decision: added.id };
    expect(() => viewOf(photos, [added, named, undo])).toThrow(
      'Expected the object to be one that p.jpg still has, but got "new"',
    );
  });
});

describe('what is refused', () => {
  const decide = reviewer('Ana', 9);
  const drawn = { id: 'new', outline: box(1, 1), stage: 'umbo' } as const;
  it.each([
    [
      decide({ kind: 'remove', photo: 'q.jpg', object: 'a' }),
      'Expected the photo to be one of this count, but got "q.jpg"',
    ],
    [decide({ kind: 'remove', photo, object: 'x' }), 'Expected the object to be one that p.jpg still has, but got "x"'],
    [
      decide({ kind: 'add', photo, drawn: { ...drawn, id: 'a' } }),
      'Expected the id of a drawn object to be new in p.jpg',
    ],
    [decide({ kind: 'add', photo, drawn: { ...drawn, outline: box(1, 1).slice(2) } }), 'three or more corners'],
    [
      decide({ kind: 'add', photo, drawn: { ...drawn, stage: 'prawn' as 'umbo' } }),
      'Expected a stage to be one of egg',
    ],
    [
      decide({ kind: 'split', photo, object: 'a', into: [drawn] }),
      'Expected the parts of a split to be two or more, but got 1',
    ],
    [
      decide({ kind: 'split', photo, object: 'a', into: [drawn, drawn] }),
      'Expected the id of a drawn object to be new',
    ],
    [
      decide({ kind: 'join', photo, objects: ['a', 'a'], into: drawn }),
      'Expected the objects to join to be two or more',
    ],
    [
      decide({ kind: 'choose-squares', photo, squares: ['Z9'] }),
      'Expected a square to be one that p.jpg shows whole, but got "Z9"',
    ],
    [decide({ kind: 'choose-squares', photo, squares: [] }), 'Expected the squares to be one or more'],
  ])('%#', (decision, message) => {
    expect(() => viewOf(photos, [decision])).toThrow(message);
  });
  it('two entries of one id, and undoing what was never done', () => {
    const one = decide({ kind: 'note', photo, text: 'x' });
    expect(() => viewOf(photos, [one, one])).toThrow('Expected the id of a decision to be one that no other has');
    expect(() => viewOf(photos, [{ ...one, kind: 'undo', decision: 'no' }])).toThrow('one made before, but got "no"');
  });
});

describe('outlines', () => {
  it('a right triangle of 3 and 4: area 6, length 5, height 2.4, middle at the thirds', () => {
    const measures = outlineMeasures([
      [1000, 1000],
      [1003, 1000],
      [1000, 1004],
    ]);
    expect(measures.areaPx2).toBeCloseTo(6, 10);
    expect(measures.lengthPx).toBe(5);
    expect(measures.heightPx).toBeCloseTo(2.4, 10);
    expect([measures.x, measures.y]).toEqual([1001, expect.closeTo(1000 + 4 / 3, 9)]);
  });
  it('a point on the edge of two squares belongs to one of them', () => {
    const squares = [box(50, 50, 100), box(150, 50, 100)];
    expect(squares.filter((square) => isInside([100, 50], square))).toHaveLength(1);
  });
});

describe('the counted area', () => {
  const field = (circle?: { centrePx: [number, number]; radiusPx: number }): PhotoCount => {
    const count = photoOf(photo, [found('in', 20, 20), { ...found('out', 190, 95), inArea: false }]);
    const shape = { kind: 'field' as const, boxPx: [10, 10, 180, 90] as const, ...(circle && { circle }) };
    return { ...count, counting: { ...count.counting, shape } };
  };

  it('is the squares of the count until somebody chooses others', () => {
    const decide = reviewer('Ana', 9);
    expect(viewOf([photoOf(photo)], [])[0].squares).toEqual(['A1', 'B1']);
    expect(viewOf([photoOf(photo)], [decide({ kind: 'choose-squares', photo, squares: null })])[0].squares).toBeNull();
    expect(viewOf([field()], [])[0].squares).toBeNull();
  });

  it('leaves out what lies beside the field, relabelled or drawn', () => {
    const decide = reviewer('Ana', 9);
    const counted = (count: PhotoCount, log: Decision[]): string[] =>
      viewOf([count], log)[0]
        .objects.filter((one) => one.counted)
        .map(({ id }) => id);
    expect(counted(field(), [])).toEqual(['in']);
    expect(counted(field(), [decide({ kind: 'relabel', photo, object: 'out', stage: 'umbo' })])).toEqual(['in']);
    const draw = (id: string, x: number, y: number): Decision =>
      decide({ kind: 'add', photo, drawn: { id, outline: box(x, y), stage: 'umbo' } });
    expect(counted(field(), [draw('inside', 100, 50), draw('beside', 185, 50)])).toEqual(['in', 'inside']);
    const round = field({ centrePx: [95, 50], radiusPx: 30 });
    expect(counted(round, [draw('inside', 100, 50), draw('in the corner', 20, 80)])).toEqual(['in', 'inside']);
  });
});
