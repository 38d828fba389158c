import type { Raster } from '../raster.js';

/** Three planes of a picture, values 0..255. */
export interface Planes {
  readonly width: number;
  readonly height: number;
  /** Red, green, blue plane one after the other, `3 * width * height` numbers. */
  readonly data: Float32Array;
}

/** The loops take so many source pixels in one go: twice as quick as one by one. */
const GROUP = 4;

/** For every target pixel: first source pixel, and weights from there on (`taps` each, adding up to 1). */
interface Weights {
  readonly first: Int32Array;
  /** A multiple of `GROUP`; the last weights are 0. */
  readonly taps: number;
  readonly weight: Float32Array;
}

/** Box of one target pixel's width when shrinking, straight line between neighbours when enlarging. */
function weights(source: number, target: number): Weights {
  const ratio = source / target;
  const reach = Math.max(1, ratio) / 2;
  const taps = Math.ceil((Math.ceil(2 * reach) + 1) / GROUP) * GROUP;
  const first = new Int32Array(target);
  const weight = new Float32Array(target * taps);
  for (let t = 0; t < target; t++) {
    const middle = (t + 0.5) * ratio - 0.5;
    first[t] = Math.max(0, ratio > 1 ? Math.floor(middle - reach + 0.5) : Math.floor(middle));
    let sum = 0;
    for (let k = 0; k < taps && first[t] + k < source; k++) {
      const at = first[t] + k;
      const share =
        ratio > 1 ? Math.min(at + 0.5, middle + reach) - Math.max(at - 0.5, middle - reach) : 1 - Math.abs(at - middle);
      weight[t * taps + k] = Math.max(0, share);
      sum += weight[t * taps + k];
    }
    for (let k = 0; k < taps; k++) weight[t * taps + k] /= sum;
  }
  return { first, taps, weight };
}

/** Weighted sum of source rows into `row` (three interleaved channels); rows beyond the picture have no weight. */
function sumRows(row: Float32Array, source: Raster, rows: Weights, y: number): void {
  const { data, height } = source;
  const { taps, weight } = rows;
  const n = source.width * 3;
  const last = (height - 1) * n;
  for (let k = 0; k < taps; k += GROUP) {
    const w = y * taps + k;
    const a = weight[w];
    const b = weight[w + 1];
    const c = weight[w + 2];
    const d = weight[w + 3];
    const ia = Math.min(last, (rows.first[y] + k) * n);
    const ib = Math.min(last, ia + n);
    const ic = Math.min(last, ib + n);
    const id = Math.min(last, ic + n);
    if (k > 0) {
      for (let i = 0; i < n; i++) {
        row[i] += a * data[ia + i] + b * data[ib + i] + c * data[ic + i] + d * data[id + i];
      }
    } else if (d === 0) {
      for (let i = 0; i < n; i++) row[i] = a * data[ia + i] + b * data[ib + i] + c * data[ic + i];
    } else {
      for (let i = 0; i < n; i++) {
        row[i] = a * data[ia + i] + b * data[ib + i] + c * data[ic + i] + d * data[id + i];
      }
    }
  }
}

/** Sums of a row of pixels under the horizontal weights, into three planes. */
function shrinkRow(row: Float32Array, columns: Weights, planes: Float32Array, place: readonly [number, number]): void {
  const { first, taps, weight } = columns;
  const [at, plane] = place;
  const n = first.length;
  for (let x = 0, w = 0; x < n; x++) {
    let red = 0;
    let green = 0;
    let blue = 0;
    let i = first[x] * 3;
    for (const end = w + taps; w < end; w += GROUP, i += 3 * GROUP) {
      const a = weight[w];
      const b = weight[w + 1];
      const c = weight[w + 2];
      const d = weight[w + 3];
      red += a * row[i] + b * row[i + 3] + c * row[i + 6] + d * row[i + 9];
      green += a * row[i + 1] + b * row[i + 4] + c * row[i + 7] + d * row[i + 10];
      blue += a * row[i + 2] + b * row[i + 5] + c * row[i + 8] + d * row[i + 11];
    }
    planes[at + x] = red;
    planes[at + x + plane] = green;
    planes[at + x + 2 * plane] = blue;
  }
}

/**
 * Picture at another size: area average when shrinking, linear when enlarging. Target pixel (x, y) covers the same part
 * of the picture as source pixels around `(x + 0.5) * source / target - 0.5`.
 */
export function resample(source: Raster, width: number, height: number): Planes {
  const rows = weights(source.height, height);
  const columns = weights(source.width, width);
  const data = new Float32Array(3 * width * height);
  // zeros beyond the last pixel: they have no weight
  const row = new Float32Array((source.width + columns.taps) * 3);
  for (let y = 0; y < height; y++) {
    sumRows(row, source, rows, y);
    shrinkRow(row, columns, data, [y * width, width * height]);
  }
  return { width, height, data };
}
