import type { Field } from '@veligrid/model';
import type { Raster } from '../raster.js';
import { findBrightDisc } from './bright-disc.js';
import { groundOf } from './ground.js';
import { fitRim } from './rim.js';
import { shrink } from './shrunk.js';

/** Longer side of the small copy in which the disc is looked for, px. */
const LOOK_PX = 320;

/**
 * Finds the usable part of a photo: the whole frame of a microscope camera, or the bright disc on black that a phone
 * sees through an eyepiece. The disc may be cut by the frame and may have a ghost beside it; mere shading towards the
 * corners and bright eggs on a dark ground are a full frame.
 *
 * @param raster photo
 * @returns the field with its ground: `light` when the ground is brighter than the objects. The circle of a round
 *   field lies where the light is half of that inside.
 */
export function findField(raster: Raster): Field {
  const shrunk = shrink(raster, LOOK_PX);
  const { factor } = shrunk;
  const disc = findBrightDisc(shrunk);
  // the centre of a block of the copy lies half a block less half a pixel from its first pixel
  const offset = (factor - 1) / 2;
  const rim =
    disc && fitRim(raster, { x: disc.x * factor + offset, y: disc.y * factor + offset, radius: disc.radius * factor });
  if (disc === null || rim === null) return { kind: 'frame', ground: groundOf(shrunk, () => true) };
  // the rim itself is neither ground nor object
  const usable = 0.95 * disc.radius;
  const ground = groundOf(shrunk, (column, row) => Math.hypot(column - disc.x, row - disc.y) < usable);
  return { kind: 'round', ground, centrePx: [rim.x, rim.y], radiusPx: rim.radius };
}
