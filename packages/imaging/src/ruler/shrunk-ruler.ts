import type { Field } from '@veligrid/model';
import type { Raster } from '../raster.js';
import { findRuler, type NoRuler, type RulerFit } from './find-ruler.js';

/** Pixels of the picture a pixel of the copy, along each side. */
const FACTOR = 4;
/** A smaller copy shows no ruler, pixels. */
const LEAST_SIDE = 64;

/** The ruler of a copy at a quarter of the size: lines too far apart, or too broad, for the full picture. */
export function shrunkRuler(raster: Raster, field: Field): RulerFit | NoRuler {
  const copy = shrunk(raster);
  if (Math.min(copy.width, copy.height) < LEAST_SIDE) return { found: false, reason: 'The picture is too small.' };
  const full = (value: number): number => value * FACTOR + (FACTOR - 1) / 2;
  const small = (value: number): number => (value - (FACTOR - 1) / 2) / FACTOR;
  const smallField: Field =
    field.kind === 'frame'
      ? field
      : {
          ...field,
          centrePx: [small(field.centrePx[0]), small(field.centrePx[1])],
          radiusPx: field.radiusPx / FACTOR,
        };
  const ruler = findRuler(copy, smallField, { told: true });
  if (!ruler.found) return ruler;
  return {
    ...ruler,
    divisionPx: ruler.divisionPx * FACTOR,
    residualPx: ruler.residualPx * FACTOR,
    linesPx: ruler.linesPx.map(
      ([[x1, y1], [x2, y2]]) =>
        [
          [full(x1), full(y1)],
          [full(x2), full(y2)],
        ] as const,
    ),
  };
}

/** Means of blocks of pixels. */
function shrunk({ data, width, height }: Raster): Raster {
  const small = { width: Math.floor(width / FACTOR), height: Math.floor(height / FACTOR) };
  const result = new Uint8Array(small.width * small.height * 3);
  for (let row = 0; row < small.height; row++) {
    for (let column = 0; column < small.width; column++) {
      for (let channel = 0; channel < 3; channel++) {
        let sum = 0;
        for (let y = 0; y < FACTOR; y++) {
          const pos = ((row * FACTOR + y) * width + column * FACTOR) * 3 + channel;
          for (let x = 0; x < FACTOR; x++) sum += data[pos + 3 * x];
        }
        result[(row * small.width + column) * 3 + channel] = Math.round(sum / FACTOR ** 2);
      }
    }
  }
  return { ...small, data: result };
}
