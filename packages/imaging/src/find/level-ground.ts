import { Matrix, solve } from 'ml-matrix';
import type { Planes } from './resample.js';

/** Side of the blocks whose medians describe the ground, in working pixels. */
const BLOCK = 32;
/** Added to the mean absolute deviation (on 0..1) so that an empty picture's noise is not blown up. */
const LEAST_DEVIATION = 0.03;
const ROUNDS = 4;

/** Tells whether the pixel (x, y) of the planes belongs to the field. */
export type InField = (x: number, y: number) => boolean;

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

function blocksOf(planes: Planes, inField: InField): Blocks {
  const { width, height, data } = planes;
  const half = Math.max(width, height) / 2;
  const blocks: Blocks = { x: [], y: [], median: [[], [], []] };
  const values = new Float32Array(BLOCK * BLOCK);
  for (let top = 0; top < height; top += BLOCK) {
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
          for (let x = left; x < right; x += 3) values[n++] = data[channel * width * height + y * width + x];
        }
        blocks.median[channel].push(values.subarray(0, n).sort()[n >> 1]);
      }
    }
  }
  return blocks;
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

function subtract(planes: Planes, channel: number, coefficients: readonly number[], inField: InField): number {
  const { width, height, data } = planes;
  const half = Math.max(width, height) / 2;
  const [c0, cx, cy, cxx, cxy, cyy] = coefficients;
  let sum = 0;
  let count = 0;
  for (let row = 0; row < height; row++) {
    const y = (row - height / 2) / half;
    const base = c0 + cy * y + cyy * y * y;
    const slope = cx + cxy * y;
    const offset = channel * width * height + row * width;
    const counts = row % 4 === 0;
    for (let column = 0; column < width; column++) {
      const x = (column - width / 2) / half;
      const value = (data[offset + column] - (base + x * (slope + cxx * x))) / 255;
      data[offset + column] = value;
      if (counts && column % 4 === 0 && inField(column, row)) {
        sum += Math.abs(value);
        count++;
      }
    }
  }
  return count === 0 ? 0 : sum / count;
}

/**
 * Takes the uneven light and the colour cast away, in place: subtracts from each channel a smooth ground fitted to the
 * picture itself, divides by the mean absolute deviation plus 0.03 (of 1), and sets what lies outside the field to 0.
 *
 * @returns the divisor, on a scale where white is 1
 */
export function levelGround(planes: Planes, inField: InField): number {
  const { width, height, data } = planes;
  const blocks = blocksOf(planes, inField);
  let deviation = 0;
  for (let channel = 0; channel < 3; channel++) {
    deviation += subtract(planes, channel, surface(blocks, blocks.median[channel]), inField) / 3;
  }
  const divisor = deviation + LEAST_DEVIATION;
  const plane = width * height;
  for (let row = 0; row < height; row++) {
    for (let column = 0; column < width; column++) {
      const i = row * width + column;
      const factor = inField(column, row) ? 1 / divisor : 0;
      data[i] *= factor;
      data[i + plane] *= factor;
      data[i + 2 * plane] *= factor;
    }
  }
  return divisor;
}
