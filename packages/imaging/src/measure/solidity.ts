import type { Outline } from '../raster.js';
import { signedArea } from './signed-area.js';

/**
 * Area over area of the convex hull, 0..1 (solidity of ISO 9276-6): 1 for anything convex, less with notches. 0 when the
 * hull has no area.
 *
 * @param areaPx2 area inside the outline in square pixels
 * @param hull convex hull of the outline
 */
export function solidity(areaPx2: number, hull: Outline): number {
  const hullArea = Math.abs(signedArea(hull));
  return hullArea > 0 ? Math.min(1, areaPx2 / hullArea) : 0;
}
