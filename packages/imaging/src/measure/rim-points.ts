import type { Outline } from '../raster.js';
import { resampleOutline } from './resample-outline.js';
import { signedArea } from './signed-area.js';

/** Points at equal steps along an outline with the direction that leads out of it. */
export interface RimPoints {
  readonly count: number;
  /** x and y of each point in pixels, two numbers a point. */
  readonly points: Float64Array;
  /** Unit vector at a right angle to the outline, outwards, two numbers a point. */
  readonly outwards: Float64Array;
}

/**
 * Points along an outline and their outward directions, each at a right angle to the line through its neighbours.
 *
 * @param outline closed outline of three points or more, in either sense
 * @param count points wanted, 3 or more
 */
export function rimPoints(outline: Outline, count: number): RimPoints {
  const points = resampleOutline(outline, count);
  const outwards = new Float64Array(2 * count);
  const sense = signedArea(outline) < 0 ? -1 : 1;
  for (let index = 0; index < count; index++) {
    const before = 2 * ((index + count - 1) % count);
    const after = 2 * ((index + 1) % count);
    const dx = points[after] - points[before];
    const dy = points[after + 1] - points[before + 1];
    const scale = sense / (Math.sqrt(dx * dx + dy * dy) || 1);
    outwards[2 * index] = scale * dy;
    outwards[2 * index + 1] = -scale * dx;
  }
  return { count, points, outwards };
}
