import sharp from 'sharp';
import type { Raster } from '../raster.js';

/** Whole rows of a picture. */
export interface Rows {
  /** Width of the picture in pixels. */
  readonly width: number;
  /** First row. */
  readonly top: number;
  /** Row below the last. */
  readonly bottom: number;
  /** `width * (bottom - top) * 3` bytes. */
  readonly data: Uint8Array;
}

/** A picture at another size, of which a large one is made some rows at a time. */
export interface ResizedPicture {
  readonly width: number;
  readonly height: number;
  /** Rows from `top` to below `bottom`. */
  readonly rows: (top: number, bottom: number) => Promise<Rows>;
}

/** A picture of at most this many bytes is made once and kept: 16 million pixels. */
const MOST_KEPT = 48e6;

/** For every target pixel: the source pixel before its middle, the one after it, and the weight of the latter in 256ths. */
interface Neighbours {
  readonly before: Int32Array;
  readonly after: Int32Array;
  readonly weight: Int32Array;
}

function neighbours(source: number, target: number): Neighbours {
  const before = new Int32Array(target);
  const after = new Int32Array(target);
  const weight = new Int32Array(target);
  for (let t = 0; t < target; t++) {
    const middle = Math.min(source - 1, Math.max(0, ((t + 0.5) * source) / target - 0.5));
    before[t] = Math.floor(middle);
    after[t] = Math.min(source - 1, before[t] + 1);
    weight[t] = Math.round((middle - before[t]) * 256);
  }
  return { before, after, weight };
}

/** Straight line between neighbours. sharp's own enlarging moves the picture by up to half a source pixel. */
function enlarging({ width, height, data }: Raster, toWidth: number, toHeight: number): ResizedPicture['rows'] {
  const columns = neighbours(width, toWidth);
  const rows = neighbours(height, toHeight);
  return (fromRow, toRow) => {
    const out = new Uint8Array(toWidth * (toRow - fromRow) * 3);
    for (let y = fromRow, at = 0; y < toRow; y++) {
      const top = rows.before[y] * width;
      const low = rows.after[y] * width;
      const v = rows.weight[y];
      for (let x = 0; x < toWidth; x++) {
        const left = columns.before[x];
        const right = columns.after[x];
        const u = columns.weight[x];
        for (let channel = 0; channel < 3; channel++, at++) {
          const a = data[(top + left) * 3 + channel] * (256 - u) + data[(top + right) * 3 + channel] * u;
          const b = data[(low + left) * 3 + channel] * (256 - u) + data[(low + right) * 3 + channel] * u;
          out[at] = (a * (256 - v) + b * v + 32768) >> 16;
        }
      }
    }
    return Promise.resolve({ width: toWidth, top: fromRow, bottom: toRow, data: out });
  };
}

/** sharp computes only the rows that are cut out after resizing, each as it is in the whole. */
function shrinking(raster: Raster, width: number, height: number): ResizedPicture['rows'] {
  return async (top, bottom) => {
    const data = await sharp(raster.data, { raw: { width: raster.width, height: raster.height, channels: 3 } })
      .resize(width, height, { fit: 'fill', kernel: 'mitchell' })
      .extract({ left: 0, top, width, height: bottom - top })
      .raw()
      .toBuffer();
    return { width, top, bottom, data };
  };
}

const rowsOf =
  (width: number, data: Uint8Array): ResizedPicture['rows'] =>
  (top, bottom) =>
    Promise.resolve({ width, top, bottom, data: data.subarray(top * width * 3, bottom * width * 3) });

/**
 * Picture at another size. Target pixel (x, y) shows the source around `(x + 0.5) * source / target - 0.5`.
 *
 * @param width of the target in pixels, 1 or more
 * @param height of the target in pixels, 1 or more
 * @param mostKept bytes up to which the whole is made at once and kept; the rows are the same either way
 */
export async function resizedPicture(
  raster: Raster,
  width: number,
  height: number,
  mostKept: number = MOST_KEPT,
): Promise<ResizedPicture> {
  const size = { width, height };
  if (width === raster.width && height === raster.height) return { ...size, rows: rowsOf(width, raster.data) };
  const enlarges = width > raster.width || height > raster.height;
  const rows = (enlarges ? enlarging : shrinking)(raster, width, height);
  if (3 * width * height > mostKept) return { ...size, rows };
  return { ...size, rows: rowsOf(width, (await rows(0, height)).data) };
}
