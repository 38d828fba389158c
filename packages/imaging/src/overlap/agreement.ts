import { applied, fitSimilarity, type Affine, type PointPair } from './affine.js';
import { correlation } from './likeness.js';
import { viewAt, type PhotoView } from './photo-view.js';

/** How far the pictures of two photos agree where they would show one place. */
export interface Agreement {
  /** Blocks with something in them in either photo. */
  readonly blocks: number;
  /** Of these, blocks that look alike in both. */
  readonly alike: number;
  /** Middles of the blocks that look alike, pixels of each photo. */
  readonly pairs: readonly PointPair[];
}

/** Side of a block and distance of its samples, pixels of the copy. */
const BLOCK = 28;
const STEP = 2;
const SIDE = BLOCK / STEP;
/** Blocks looked at, at most. */
const MOST_BLOCKS = 100;
/** The same place may lie so many pixels of the copy beside where it is expected. */
const SEARCH = 2;
/** Least correlation of blocks that look alike. */
const ALIKE = 0.72;
/** Something is in a block whose brightness spreads this much more than that of an empty one. */
const TEXTURE = 1.5;
/** Blocks whose brightness changes along one direction only hold but a ruled line, which is alike everywhere. */
const LEAST_ROUNDNESS = 0.3;

/** Brightness of a block by rows, with its middle in pixels of the first photo. */
interface Block {
  readonly x: number;
  readonly y: number;
  readonly one: Float64Array;
}

function sampled(view: PhotoView, at: (dx: number, dy: number) => readonly [number, number]): Float64Array | null {
  const values = new Float64Array(SIDE * SIDE);
  for (let row = 0; row < SIDE; row++) {
    for (let column = 0; column < SIDE; column++) {
      const value = viewAt(view, ...at((column + 0.5) * STEP - BLOCK / 2, (row + 0.5) * STEP - BLOCK / 2));
      if (value === null) return null;
      values[row * SIDE + column] = value;
    }
  }
  return values;
}

function spreadOf(values: Float64Array): number {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length);
}

/** 0 where brightness changes along one direction only, 1 where it changes alike along all (smaller over larger eigenvalue). */
function roundness(values: Float64Array): number {
  let [xx, yy, xy] = [0, 0, 0];
  for (let row = 1; row < SIDE - 1; row++) {
    for (let column = 1; column < SIDE - 1; column++) {
      const at = row * SIDE + column;
      const dx = values[at + 1] - values[at - 1];
      const dy = values[at + SIDE] - values[at - SIDE];
      xx += dx * dx;
      yy += dy * dy;
      xy += dx * dy;
    }
  }
  const half = Math.hypot((xx - yy) / 2, xy);
  const mean = (xx + yy) / 2;
  return mean + half > 0 ? (mean - half) / (mean + half) : 1;
}

/** Blocks of the first photo that come to lie in the second, spread evenly over what both show. */
function blocksOf(views: readonly [PhotoView, PhotoView], map: Affine): Block[] {
  const [first, second] = views;
  const side = BLOCK * first.factor;
  const places: [number, number][] = [];
  for (let y = side / 2; y < first.height * first.factor - side / 2; y += side) {
    for (let x = side / 2; x < first.width * first.factor - side / 2; x += side) {
      const [u, v] = applied(map, x, y);
      const room = (BLOCK / 2 + 2) * second.factor;
      if (u > room && v > room && u < second.width * second.factor - room && v < second.height * second.factor - room) {
        places.push([x, y]);
      }
    }
  }
  const every = Math.max(1, places.length / MOST_BLOCKS);
  const chosen = places.filter((_, k) => Math.floor(k / every) !== Math.floor((k - 1) / every));
  return chosen.flatMap(([x, y]) => {
    const one = sampled(first, (dx, dy) => [x + dx * first.factor, y + dy * first.factor]);
    return one === null ? [] : [{ x, y, one }];
  });
}

/** Side of the part of the second photo in which a block is looked for. */
const ROOM = BLOCK + 2 * SEARCH;

/** Best correlation of a block over all places near by, and where. */
function bestShift(
  { x, y, one }: Block,
  views: readonly [PhotoView, PhotoView],
  map: Affine,
): { r: number; to: readonly [number, number] } {
  const [first, second] = views;
  const around = new Float64Array(ROOM * ROOM);
  for (let row = 0, at = 0; row < ROOM; row++) {
    for (let column = 0; column < ROOM; column++, at++) {
      const dx = (column + STEP / 2 - ROOM / 2) * first.factor;
      const dy = (row + STEP / 2 - ROOM / 2) * first.factor;
      around[at] = viewAt(second, ...applied(map, x + dx, y + dy)) ?? 0;
    }
  }
  const two = new Float64Array(SIDE * SIDE);
  let best = { r: -1, right: 0, down: 0 };
  for (let down = 0; down <= 2 * SEARCH; down++) {
    for (let right = 0; right <= 2 * SEARCH; right++) {
      for (let at = 0; at < two.length; at++) {
        const [row, column] = [Math.floor(at / SIDE), at % SIDE];
        two[at] = around[(row * STEP + down) * ROOM + column * STEP + right];
      }
      const r = correlation(one, two);
      if (r > best.r) best = { r, right, down };
    }
  }
  const shiftX = (best.right - SEARCH) * first.factor;
  const shiftY = (best.down - SEARCH) * first.factor;
  return { r: best.r, to: applied(map, x + shiftX, y + shiftY) };
}

/**
 * Compares two photos block by block where they would show one place. Blocks that hold nothing, or a ruled line alone, do
 * not count.
 *
 * @param map of the first photo onto the second, good to some three pixels of the copies
 */
export function agreement(views: readonly [PhotoView, PhotoView], map: Affine): Agreement {
  const [first, second] = views;
  const blocks = blocksOf(views, map).flatMap((block) => {
    const two = sampled(second, (dx, dy) => applied(map, block.x + dx * first.factor, block.y + dy * first.factor));
    return two === null ? [] : [{ ...block, two, spreads: [spreadOf(block.one), spreadOf(two)] as const }];
  });
  const emptyOf = (which: 0 | 1): number =>
    blocks.map(({ spreads }) => spreads[which]).sort((a, b) => a - b)[Math.floor(blocks.length / 5)] ?? 0;
  const empty = [emptyOf(0), emptyOf(1)];
  const telling = blocks.filter(({ one, two, spreads }) => {
    const [inOne, inTwo] = spreads.map((spread, k) => spread / Math.max(0.5, empty[k]));
    return Math.max(inOne, inTwo) > TEXTURE && roundness(inOne > inTwo ? one : two) > LEAST_ROUNDNESS;
  });
  const pairs = telling.flatMap((block): PointPair[] => {
    const { r, to } = bestShift(block, views, map);
    return r < ALIKE ? [] : [{ from: [block.x, block.y], to }];
  });
  return { blocks: telling.length, alike: pairs.length, pairs };
}

/** The map fitted anew to the blocks that look alike; the old one when they are too few. */
export function refined(map: Affine, { pairs }: Agreement): Affine {
  return pairs.length < 4 ? map : fitSimilarity(pairs);
}
