import { Matrix, solve } from 'ml-matrix';
import { middleOf } from '../middle-of.js';
import type { ResizedPicture, Rows } from '../photo/resized-picture.js';

/** Side of the blocks whose medians describe the ground, in working pixels. */
const BLOCK = 32;
/** Added to the mean absolute deviation (on 0..1) so that an empty picture's noise is not blown up. */
const LEAST_DEVIATION = 0.03;
const ROUNDS = 4;
/** The deviation is taken over every pixel whose row and column are multiples of this. */
const SPARSE = 4;
/** Rows that are looked at in one go: whole blocks, and rows of the sparse picture from the first on. */
const SLAB = 16 * BLOCK;

/** Tells whether the pixel (x, y) of the picture belongs to the field. */
export type InField = (x: number, y: number) => boolean;

/** Width and height of a picture in pixels. */
export interface Size {
  readonly width: number;
  readonly height: number;
}

/** Light of the ground over a picture: a surface of second order for each channel, and what deviations are divided by. */
export interface Ground extends Size {
  /**
   * For red, green, blue the factors of 1, x, y, x x, x y, y y, where x and y are from the middle of the picture in halves of
   * its longer side; levels of 0..255.
   */
  readonly surfaces: readonly (readonly number[])[];
  /** Mean absolute deviation from the ground plus 0.03, where white is 1. */
  readonly divisor: number;
}

interface Blocks {
  /** Middle of each block, -1..1 along the longer side. */
  readonly x: number[];
  readonly y: number[];
  /** Median of each channel. */
  readonly median: number[][];
}

function medianOf(values: number[]): number {
  values.sort((a, b) => a - b);
  return values[values.length >> 1];
}

/** Adds the blocks of some rows, the first of which is a block's first. */
function addBlocks(blocks: Blocks, { width, height }: Size, rows: Rows, inField: InField): void {
  const { data } = rows;
  const half = Math.max(width, height) / 2;
  const values = new Float32Array(BLOCK * BLOCK);
  for (let top = rows.top; top < rows.bottom; top += BLOCK) {
    for (let left = 0; left < width; left += BLOCK) {
      const right = Math.min(width, left + BLOCK);
      const bottom = Math.min(height, top + BLOCK);
      const midX = (left + right - 1) / 2;
      const midY = (top + bottom - 1) / 2;
      if (
        !inField(left, top) ||
        !inField(right - 1, top) ||
        !inField(left, bottom - 1) ||
        !inField(right - 1, bottom - 1)
      ) {
        continue;
      }
      blocks.x.push((midX - width / 2) / half);
      blocks.y.push((midY - height / 2) / half);
      for (let channel = 0; channel < 3; channel++) {
        let n = 0;
        for (let y = top; y < bottom; y += 3) {
          const row = (y - rows.top) * width;
          for (let x = left; x < right; x += 3) values[n++] = data[(row + x) * 3 + channel];
        }
        blocks.median[channel].push(middleOf(values, n));
      }
    }
  }
}

/** Every fourth pixel of a picture both ways, three bytes each. */
interface Sparse {
  readonly columns: number;
  readonly rows: number;
  readonly data: Uint8Array;
}

function addSparse(sparse: Sparse, { width, top, bottom, data }: Rows): void {
  let to = (top / SPARSE) * sparse.columns * 3;
  for (let y = top; y < bottom; y += SPARSE) {
    let from = (y - top) * width * 3;
    for (let x = 0; x < width; x += SPARSE, from += 3 * SPARSE - 3) {
      sparse.data[to++] = data[from++];
      sparse.data[to++] = data[from++];
      sparse.data[to++] = data[from++];
    }
  }
}

/** Terms of a surface of second order. */
const terms = (x: number, y: number): number[] => [1, x, y, x * x, x * y, y * y];

/**
 * Surface of second order through the blocks' medians. Blocks that hold larvae lie off it and lose their weight
 * (Tukey's biweight, rescaled by the median absolute deviation each round).
 */
function surface(blocks: Blocks, values: readonly number[]): number[] {
  const n = values.length;
  if (n < 12) return [medianOf([...values, ...(n === 0 ? [0] : [])]), 0, 0, 0, 0, 0];
  const rows = blocks.x.map((x, i) => terms(x, blocks.y[i]));
  let coefficients = [medianOf([...values]), 0, 0, 0, 0, 0];
  for (let round = 0; round < ROUNDS; round++) {
    const residual = rows.map((row, i) => values[i] - row.reduce((sum, term, k) => sum + term * coefficients[k], 0));
    const scale = Math.max(0.5, 1.4826 * medianOf(residual.map(Math.abs)));
    const weight = residual.map((r) => Math.max(0, 1 - (r / (4.7 * scale)) ** 2));
    const left = new Matrix(rows.map((row, i) => row.map((term) => term * weight[i])));
    const right = Matrix.columnVector(values.map((v, i) => v * weight[i]));
    const normal = left.transpose().mmul(left);
    for (let k = 0; k < 6; k++) normal.set(k, k, normal.get(k, k) + 1e-6 * n);
    coefficients = solve(normal, left.transpose().mmul(right)).to1DArray();
  }
  return coefficients;
}

/** Mean absolute deviation from a surface over the sparse pixels of the field, where white is 1. */
function deviationFrom(
  sparse: Sparse,
  { width, height }: Size,
  { channel, coefficients }: { readonly channel: number; readonly coefficients: readonly number[] },
  inField: InField,
): number {
  const half = Math.max(width, height) / 2;
  const [c0, cx, cy, cxx, cxy, cyy] = coefficients;
  let sum = 0;
  let count = 0;
  for (let row = 0, at = channel; row < height; row += SPARSE) {
    const y = (row - height / 2) / half;
    const base = c0 + cy * y + cyy * y * y;
    const slope = cx + cxy * y;
    for (let column = 0; column < width; column += SPARSE, at += 3) {
      if (!inField(column, row)) continue;
      const x = (column - width / 2) / half;
      sum += Math.abs(sparse.data[at] - (base + x * (slope + cxx * x)));
      count++;
    }
  }
  return count === 0 ? 0 : sum / count / 255;
}

/**
 * Light of the ground of a picture, uneven and with a cast as it may be: a smooth surface fitted to the picture itself,
 * and how far the picture deviates from it.
 */
export async function fitGround(picture: ResizedPicture, inField: InField): Promise<Ground> {
  const { width, height } = picture;
  const blocks: Blocks = { x: [], y: [], median: [[], [], []] };
  const [columns, rows] = [Math.ceil(width / SPARSE), Math.ceil(height / SPARSE)];
  const sparse: Sparse = { columns, rows, data: new Uint8Array(3 * columns * rows) };
  for (let top = 0; top < height; top += SLAB) {
    const slab = await picture.rows(top, Math.min(height, top + SLAB));
    addBlocks(blocks, picture, slab, inField);
    addSparse(sparse, slab);
  }
  const surfaces = blocks.median.map((values) => surface(blocks, values));
  const deviation = surfaces.reduce(
    (sum, coefficients, channel) => sum + deviationFrom(sparse, picture, { channel, coefficients }, inField) / 3,
    0,
  );
  return { width, height, surfaces, divisor: deviation + LEAST_DEVIATION };
}

/**
 * One row of one channel without its ground: (value - ground) / 255 / divisor.
 *
 * @param target numbers from `at` on are set, `right - left` of them
 */
export function levelRow(
  rows: Rows,
  ground: Ground,
  row: { readonly channel: number; readonly y: number; readonly left: number; readonly right: number },
  target: Float32Array,
  at: number,
): void {
  const { width, height, surfaces, divisor } = ground;
  const { top, data } = rows;
  const half = Math.max(width, height) / 2;
  const [c0, cx, cy, cxx, cxy, cyy] = surfaces[row.channel];
  const y = (row.y - height / 2) / half;
  const factor = 1 / (255 * divisor);
  const base = factor * (c0 + cy * y + cyy * y * y);
  const slope = factor * (cx + cxy * y);
  const bend = factor * cxx;
  const step = 1 / half;
  let x = (row.left - width / 2) / half;
  let from = ((row.y - top) * width + row.left) * 3 + row.channel;
  for (let i = at, end = at + row.right - row.left; i < end; i++, from += 3, x += step) {
    target[i] = data[from] * factor - (base + x * (slope + bend * x));
  }
}
