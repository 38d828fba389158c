import sharp from 'sharp';
import type { Raster } from '../raster.js';

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
function enlarged({ width, height, data }: Raster, toWidth: number, toHeight: number): Raster {
  const columns = neighbours(width, toWidth);
  const rows = neighbours(height, toHeight);
  const out = new Uint8Array(toWidth * toHeight * 3);
  for (let y = 0, at = 0; y < toHeight; y++) {
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
  return { width: toWidth, height: toHeight, data: out };
}

/**
 * Picture at another size. Target pixel (x, y) shows the source around `(x + 0.5) * source / target - 0.5`.
 *
 * @param width of the target in pixels, 1 or more
 * @param height of the target in pixels, 1 or more
 */
export async function resizeRaster(raster: Raster, width: number, height: number): Promise<Raster> {
  if (width === raster.width && height === raster.height) return raster;
  if (width > raster.width || height > raster.height) return enlarged(raster, width, height);
  const data = await sharp(raster.data, { raw: { width: raster.width, height: raster.height, channels: 3 } })
    .resize(width, height, { fit: 'fill', kernel: 'mitchell' })
    .raw()
    .toBuffer();
  return { width, height, data };
}
