import { describe, expect, it } from 'vitest';
import { STAGES } from '../../packages/model/src/index.js';
import { beginPoints, crossBy, distancePx, withPoint, zoomed } from '../../apps/web/src/calibration/two-points.js';
import { levelFor, tilesIn } from '../../apps/web/src/parts/crop.js';
import { hitIndex } from '../../apps/web/src/slide/hit-index.js';
import { nextPlace } from '../../apps/web/src/slide/next-place.js';
import { packOutlines } from '../../apps/web/src/slide/outline-data.js';
import { roundLength } from '../../apps/web/src/slide/round-length.js';
import { begin, crossMoved, isFull, mayFinish, tapped, untapped } from '../../apps/web/src/slide/tools.js';
import { logOfPhoto, photoOf } from '../../apps/web/src/state/log-of-photo.js';
import { object } from './larvae.js';

describe('what lies under a finger', () => {
  const large = object('large', 100, { outline: [[0, 0], [40, 0], [40, 40], [0, 40]] }); // prettier-ignore
  const small = object('small', 10, { outline: [[10, 10], [14, 10], [14, 14], [10, 14]] }); // prettier-ignore
  const index = hitIndex([large, small]);
  it('is the smallest whose outline holds it, else the nearest within reach', () => {
    expect(index.at([12, 12], 5)).toBe('small');
    expect(index.at([30, 30], 5)).toBe('large');
    expect(index.at([43, 20], 5)).toBe('large');
    expect(index.at([60, 20], 5)).toBeNull();
  });
});

it('outlines are packed corner by corner, with stage and line', () => {
  const packed = packOutlines([object('a', 1), object('b', 1, { stage: 'bubble', counted: false })]);
  expect([...packed.starts]).toEqual([0, 4, 8]);
  expect([...packed.corners.slice(0, 4)]).toEqual([0, 0, 20, 0]);
  expect([...packed.colours]).toEqual([STAGES.indexOf('umbo'), STAGES.indexOf('bubble')]);
  expect([...packed.lines]).toEqual([0, 2]);
});

describe('tools', () => {
  it('a cut and a ruler take two points, an outline as many as wanted', () => {
    const split = tapped(tapped(begin('split', null), [0, 0]), [9, 9]);
    expect([isFull(split), mayFinish(split)]).toEqual([true, true]);
    const add = tapped(begin('add', null), [0, 0]);
    expect([isFull(add), mayFinish(add)]).toEqual([false, false]);
    expect(mayFinish(tapped(add, [5, 5]))).toBe(true);
    expect(untapped(add).taps).toEqual([]);
    expect(mayFinish(begin('join', null))).toBe(false);
  });
  it('a full ruler begins anew', () => {
    const full = tapped(tapped(begin('ruler', null), [0, 0]), [9, 9]);
    expect(tapped(full, [1, 1]).taps).toEqual([[1, 1]]);
  });
  it('the cross begins in the middle of the view', () => {
    expect(crossMoved(begin('add', null), [3, 0], [100, 50]).cross).toEqual([103, 50]);
  });
});

describe('two points of a calibration', () => {
  const empty = beginPoints(1000, 500);
  it('give a distance once both are set, and a third begins anew', () => {
    const one = withPoint(empty, [100, 100]);
    expect(distancePx(one)).toBeNull();
    const two = withPoint(one, [400, 500]);
    expect(distancePx(two)).toBe(500);
    expect(withPoint(two, [1, 1]).points).toEqual([[1, 1]]);
  });
  it('zoom about the cross and never show more than the picture', () => {
    expect(zoomed(empty, 2, [1000, 500]).view).toEqual([250, 125, 500, 250]);
    expect(zoomed(empty, 0.5, [1000, 500]).view).toEqual([0, 0, 1000, 500]);
    const near = zoomed(empty, 4, [1000, 500]);
    const moved = crossBy(near, [1, 0], [1000, 500]);
    expect(moved.cross).toEqual([750, 250]);
    expect(moved.view[0] + moved.view[2]).toBeGreaterThanOrEqual(750);
  });
});

describe('squares of the pyramid', () => {
  const tiles = { tileSize: 512, maxLevel: 12, widthPx: 4000, heightPx: 3000 };
  it('come from the level that is just sharp enough', () => {
    expect([1, 2, 0.6, 0.5, 0.25].map((scale) => levelFor(tiles, scale))).toEqual([12, 12, 12, 11, 10]);
  });
  it('are those that the box touches, and none outside the photo', () => {
    const box = { minX: 500, minY: -20, maxX: 530, maxY: 100 };
    expect(tilesIn(tiles, 12, box)).toEqual([
      { column: 0, row: 0 },
      { column: 1, row: 0 },
    ]);
    expect(tilesIn(tiles, 11, box)).toEqual([{ column: 0, row: 0 }]);
  });
});

it('a scale bar is 1, 2 or 5 times a power of ten', () => {
  expect([99, 100, 215, 999, 0.7].map(roundLength)).toEqual([50, 100, 200, 500, 0.5]);
});

it('arrow keys walk a list and stop at its ends', () => {
  expect(nextPlace('ArrowDown', 2, 3)).toBe(2);
  expect(nextPlace('ArrowUp', 0, 3)).toBe(0);
  expect(nextPlace('End', 0, 3)).toBe(2);
  expect(nextPlace('x', 0, 3)).toBeNull();
  expect(nextPlace('ArrowDown', -1, 0)).toBeNull();
});

describe('the part of a log about one photo', () => {
  const made = { by: 'Ana', at: '2026-06-01T09:30:00Z' };
  const log = [
    { ...made, id: '1', kind: 'remove', photo: 'p', object: 'a' },
    { ...made, id: '2', kind: 'remove', photo: 'q', object: 'a' },
    { ...made, id: '3', kind: 'undo', decision: '2' },
    { ...made, id: '4', kind: 'undo', decision: '1' },
    { ...made, id: '5', kind: 'redo', decision: '1' },
  ] as const;
  it('holds its decisions with their undoing', () => {
    expect(logOfPhoto(log, 'p').map(({ id }) => id)).toEqual(['1', '4', '5']);
    expect(photoOf(log, log[2])).toBe('q');
  });
});
