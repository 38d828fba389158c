import type { Raster } from '../raster.js';

/** Three planes of a picture, values 0..255. */
export interface Planes {
  readonly width: number;
  readonly height: number;
  /** Red, green, blue plane one after the other, `3 * width * height` numbers. */
  readonly data: Float32Array;
}

/** For every target pixel: first source pixel, and weights from there on (`taps` each, adding up to 1). */
interface Weights {
  readonly first: Int32Array;
  readonly taps: number;
  readonly weight: Float32Array;
}

/** Box of one target pixel's width when shrinking, straight line between neighbours when enlarging. */
function weights(source: number, target: number): Weights {
  const ratio = source / target;
  const reach = Math.max(1, ratio) / 2;
  const taps = Math.ceil(2 * reach) + 1;
  const first = new Int32Array(target);
  const weight = new Float32Array(target * taps);
  for (let t = 0; t < target; t++) {
    const middle = (t + 0.5) * ratio - 0.5;
    const start = ratio > 1 ? Math.floor(middle - reach + 0.5) : Math.floor(middle);
    let sum = 0;
    for (let k = 0; k < taps; k++) {
      const at = start + k;
      const share =
        ratio > 1 ? Math.min(at + 0.5, middle + reach) - Math.max(at - 0.5, middle - reach) : 1 - Math.abs(at - middle);
      const kept = at >= 0 && at < source ? Math.max(0, share) : 0;
      weight[t * taps + k] = kept;
      sum += kept;
    }
    for (let k = 0; k < taps; k++) weight[t * taps + k] /= sum;
    first[t] = start;
  }
  return { first, taps, weight };
}

/** Adds one source row into `row` (three interleaved channels) with a weight. */
function addRow(row: Float32Array, data: Uint8Array, offset: number, share: number): void {
  const n = row.length;
  for (let i = 0; i < n; i++) row[i] += share * data[offset + i];
}

/** Sums of a row of pixels under the horizontal weights, into three planes. */
function shrinkRow(row: Float32Array, columns: Weights, planes: Float32Array, place: readonly [number, number]): void {
  const { first, taps, weight } = columns;
  const [at, plane] = place;
  const last = row.length / 3 - 1;
  for (let x = 0; x < first.length; x++) {
    let red = 0;
    let green = 0;
    let blue = 0;
    for (let k = 0; k < taps; k++) {
      const share = weight[x * taps + k];
      if (share === 0) continue;
      const i = Math.min(last, Math.max(0, first[x] + k)) * 3;
      red += share * row[i];
      green += share * row[i + 1];
      blue += share * row[i + 2];
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
  const row = new Float32Array(source.width * 3);
  for (let y = 0; y < height; y++) {
    row.fill(0);
    for (let k = 0; k < rows.taps; k++) {
      const share = rows.weight[y * rows.taps + k];
      if (share > 0) addRow(row, source.data, (rows.first[y] + k) * source.width * 3, share);
    }
    shrinkRow(row, columns, data, [y * width, width * height]);
  }
  return { width, height, data };
}
