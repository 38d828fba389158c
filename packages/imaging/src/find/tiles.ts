import { levelRow, type Ground, type InField } from './level-ground.js';
import type { Planes } from './resample.js';

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
const MARGIN = 64;
/** Longest side and largest area of an inner part in working pixels: they bound the memory that a tile takes. */
const LONGEST = 2560;
const LARGEST = 1_000_000;
/** The network halves the picture this often. */
const MULTIPLE = 32;
/** A block (8 working pixels a side) this far from the ground (white is 1) may hold something. */
const LEAST_CONTRAST = 0.02;

function spans(length: number, longest: number): { start: number; end: number }[] {
  const n = Math.max(1, Math.ceil(length / longest));
  // edges on multiples of 4, so that cells of neighbouring tiles fall on one lattice
  const edges = Array.from({ length: n + 1 }, (_, k) => (k === n ? length : Math.round((length * k) / n / 4) * 4));
  return edges.slice(1).map((end, k) => ({ start: edges[k], end }));
}

/** Overlapping tiles that cover a picture of the given size: wide ones, as every seam is seen twice. */
export function planTiles(width: number, height: number): Tile[] {
  const across = spans(width, LONGEST);
  const widest = across.reduce((most, { start, end }) => Math.max(most, end - start), 0);
  return spans(height, LARGEST / widest).flatMap((rows) =>
    across.map((columns) => {
      const left = Math.max(0, columns.start - MARGIN);
      const top = Math.max(0, rows.start - MARGIN);
      return {
        left,
        top,
        width: Math.min(width, columns.end + MARGIN) - left,
        height: Math.min(height, rows.end + MARGIN) - top,
        inner: { left: columns.start, top: rows.start, right: columns.end, bottom: rows.end },
      };
    }),
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

/** The tile as the network wants it: levelled, both sides a multiple of 32. */
export function cutTile(planes: Planes, tile: Tile, ground: Ground, inField: InField): Cut {
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
      levelRow(planes, ground, { channel, y, left, right }, data, at);
    }
  }
  return { data, width, height };
}
