import { resampleOutline } from '../../measure/resample-outline.js';
import type { Outline } from '../../raster.js';

const POINTS = 256;

/**
 * Distance from a point inside to the outline along rays at equal angles, the first along `axisRad`, clockwise. Where
 * the outline turns back on itself the farthest crossing is taken.
 *
 * @param rays number of rays, 8 to 128
 * @returns pixels, one a ray
 */
export function rimRadii(
  { outline, x, y, axisRad }: { outline: Outline; x: number; y: number; axisRad: number },
  rays: number,
): Float64Array {
  const points = resampleOutline(outline, POINTS);
  const radii = new Float64Array(rays);
  const step = (2 * Math.PI) / rays;
  let ax = points[2 * POINTS - 2] - x;
  let ay = points[2 * POINTS - 1] - y;
  for (let pos = 0; pos < 2 * POINTS; pos += 2) {
    const bx = points[pos] - x;
    const by = points[pos + 1] - y;
    const from = (Math.atan2(ay, ax) - axisRad) / step;
    let turn = (Math.atan2(by, bx) - axisRad) / step - from;
    turn -= rays * Math.round(turn / rays);
    const low = Math.ceil(Math.min(from, from + turn));
    const high = Math.floor(Math.max(from, from + turn));
    for (let ray = low; ray <= high; ray++) {
      const angle = axisRad + ray * step;
      // The ray meets the side where the two are parallel in the cross product.
      const cross = (bx - ax) * Math.sin(angle) - (by - ay) * Math.cos(angle);
      const distance = Math.abs(cross) < 1e-12 ? Math.hypot(ax, ay) : (ay * (bx - ax) - ax * (by - ay)) / cross;
      const at = ((ray % rays) + rays) % rays;
      if (distance > radii[at]) radii[at] = distance;
    }
    ax = bx;
    ay = by;
  }
  return radii;
}
