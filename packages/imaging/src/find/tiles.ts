import type { Rows } from '../photo/resized-picture.js';
import { levelRow, type Ground, type InField } from './level-ground.js';

/** One tile of the working picture: what the network sees, and the inner part whose finds are kept. */
export interface Tile {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
  /** Inner part in working pixels, half-open; the inner parts cover the picture without overlap. */
  readonly inner: { readonly left: number; readonly top: number; readonly right: number; readonly bottom: number };
}

/** Working pixels a tile sees beyond its inner part: half the largest larva. */
const MARGIN = 52;
/** Most working pixels that the network sees in one go: it bounds the memory that a tile takes. */
const MOST_SEEN = 1_050_000;
/** No inner part is shorter than this, in working pixels. */
const SHORTEST = 256;
/** The network halves the picture this often. */
const MULTIPLE = 32;
/** A block (8 working pixels a side) this far from the ground (white is 1) may hold something. */
const LEAST_CONTRAST = 0.02;

/** One side of a tile: what is seen, and the inner part of it. */
interface Span {
  readonly from: number;
  readonly to: number;
  readonly innerFrom: number;
  readonly innerTo: number;
}

function spans(length: number, parts: number): Span[] {
  // edges on multiples of 4, so that cells of neighbouring tiles fall on one lattice
  const edge = (k: number): number => (k === parts ? length : Math.round((length * k) / parts / 4) * 4);
  return Array.from({ length: parts }, (_, k) => ({
    from: Math.max(0, edge(k) - MARGIN),
    to: Math.min(length, edge(k + 1) + MARGIN),
    innerFrom: edge(k),
    innerTo: edge(k + 1),
  }));
}

const padded = ({ from, to }: Span): number => Math.ceil((to - from) / MULTIPLE) * MULTIPLE;
const most = (values: readonly number[]): number => values.reduce((a, b) => Math.max(a, b));
const total = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0);

/** Spans both ways, and how many pixels the network sees in all and in the largest tile. */
interface Plan {
  readonly across: readonly Span[];
  readonly down: readonly Span[];
  readonly seen: number;
  readonly largest: number;
}

function planOf(across: readonly Span[], down: readonly Span[]): Plan {
  const [widths, heights] = [across.map(padded), down.map(padded)];
  return { across, down, seen: total(widths) * total(heights), largest: most(widths) * most(heights) };
}

/** Overlapping tiles that cover a picture of the given size, row by row, cut so that the network sees as little as possible twice. */
export function planTiles(width: number, height: number): Tile[] {
  const [columns, rows] = [width, height].map((side) => Math.max(1, Math.floor(side / SHORTEST)));
  let best = planOf(spans(width, columns), spans(height, rows));
  for (let i = 1; i <= columns; i++) {
    for (let j = 1; j <= rows; j++) {
      const plan = planOf(spans(width, i), spans(height, j));
      if (plan.largest <= MOST_SEEN && plan.seen < best.seen) best = plan;
    }
  }
  const { across, down } = best;
  return down.flatMap((y) =>
    across.map((x) => ({
      left: x.from,
      top: y.from,
      width: x.to - x.from,
      height: y.to - y.from,
      inner: { left: x.innerFrom, top: y.innerFrom, right: x.innerTo, bottom: y.innerTo },
    })),
  );
}

/** The part of a picture that the network sees. */
export interface Cut {
  /** Three planes of `width * height`, levelled; 0 beyond the picture and outside the field. */
  readonly data: Float32Array;
  readonly width: number;
  readonly height: number;
}

/** True when no part of the tile differs from the ground. */
export function isEmptyTile({ data, width, height }: Cut, divisor: number): boolean {
  const plane = width * height;
  const limit = (LEAST_CONTRAST / divisor) * 64;
  for (let top = 0; top < height; top += 8) {
    for (let left = 0; left < width; left += 8) {
      let sum = 0;
      for (let y = top; y < top + 8; y++) {
        for (let x = left; x < left + 8; x++) sum += data[plane + y * width + x];
      }
      if (Math.abs(sum) > limit) return false;
    }
  }
  return true;
}

/**
 * The tile as the network wants it: levelled, both sides a multiple of 32.
 *
 * @param rows rows of the picture, the tile's among them
 */
export function cutTile(rows: Rows, tile: Tile, ground: Ground, inField: InField): Cut {
  const width = Math.ceil(tile.width / MULTIPLE) * MULTIPLE;
  const height = Math.ceil(tile.height / MULTIPLE) * MULTIPLE;
  const data = new Float32Array(3 * width * height);
  for (let row = 0; row < tile.height; row++) {
    const y = tile.top + row;
    let left = tile.left;
    let right = tile.left + tile.width;
    while (left < right && !inField(left, y)) left++;
    while (left < right && !inField(right - 1, y)) right--;
    for (let channel = 0; channel < 3; channel++) {
      const at = (channel * height + row) * width + left - tile.left;
      levelRow(rows, ground, { channel, y, left, right }, data, at);
    }
  }
  return { data, width, height };
}
