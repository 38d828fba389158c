import type { Field } from '@veligrid/model';
import type { Raster } from '../raster.js';

/** Longest side of the map at most, blocks. */
const MOST_BLOCKS = 256;
/** Least side of a block, pixels: a block holds a few lines at least. */
const LEAST_BLOCK = 8;
/** Gradients are taken at most so many times along each side of a block, so that work does not grow with the picture. */
const SAMPLES_ALONG = 8;
/** Added to the brightness before dividing, so that noise on black does not count; grey levels of 255. */
const DARK_FLOOR = 12;
/** Share of the radius of a round field that is used: its edge is a strong line of its own. */
const ROUND_SHARE = 0.96;

/** Mean products of brightness gradients over square blocks: which way the picture changes, and how much. */
export interface TextureMap {
  /** Blocks. */
  readonly width: number;
  readonly height: number;
  /** Side of a block, pixels. */
  readonly block: number;
  /** `width * height` means of gx gx, gy gy and gx gy, relative to brightness; 0 outside the field. */
  readonly xx: Float32Array;
  readonly yy: Float32Array;
  readonly xy: Float32Array;
}

/** Whether a square of a half side about a point lies in the field. */
function isInField(field: Field, x: number, y: number, half: number): boolean {
  if (field.kind === 'frame') return true;
  const [cx, cy] = field.centrePx;
  return Math.hypot(Math.abs(x - cx) + half, Math.abs(y - cy) + half) <= ROUND_SHARE * field.radiusPx;
}

/**
 * Gradient products of the green channel by blocks.
 *
 * @param raster upright picture
 * @param field blocks that are not wholly inside are left 0
 */
export function textureMap(raster: Raster, field: Field): TextureMap {
  const block = Math.max(LEAST_BLOCK, Math.ceil(Math.max(raster.width, raster.height) / MOST_BLOCKS));
  const width = Math.floor(raster.width / block);
  const height = Math.floor(raster.height / block);
  const map = {
    width,
    height,
    block,
    xx: new Float32Array(width * height),
    yy: new Float32Array(width * height),
    xy: new Float32Array(width * height),
  };
  const half = block / 2;
  for (let row = 0; row < height; row++) {
    for (let column = 0; column < width; column++) {
      if (!isInField(field, column * block + half, row * block + half, half)) continue;
      fillBlock(map, raster, row, column);
    }
  }
  return map;
}

function fillBlock(map: TextureMap, raster: Raster, row: number, column: number): void {
  const { data, width, height } = raster;
  const { block } = map;
  const step = Math.max(1, Math.floor(block / SAMPLES_ALONG));
  const stride = width * 3;
  const top = Math.max(1, row * block);
  const bottom = Math.min(height - 2, (row + 1) * block - 1);
  const left = Math.max(1, column * block);
  const right = Math.min(width - 2, (column + 1) * block - 1);
  let xx = 0;
  let yy = 0;
  let xy = 0;
  let sum = 0;
  let count = 0;
  for (let y = top; y <= bottom; y += step) {
    let pos = y * stride + left * 3 + 1;
    for (let x = left; x <= right; x += step, pos += 3 * step) {
      const gx = data[pos + 3] - data[pos - 3];
      const gy = data[pos + stride] - data[pos - stride];
      xx += gx * gx;
      yy += gy * gy;
      xy += gx * gy;
      sum += data[pos];
      count++;
    }
  }
  if (count === 0) return;
  const share = 1 / (count * (sum / count + DARK_FLOOR) ** 2);
  const at = row * map.width + column;
  map.xx[at] = xx * share;
  map.yy[at] = yy * share;
  map.xy[at] = xy * share;
}
