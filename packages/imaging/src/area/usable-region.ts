import type { Field } from '@veligrid/model';
import { USABLE_RADIUS } from '../measure/in-field.js';
import { CLEARANCE_PX } from '../measure/is-cut.js';

/** An upright box, with a circle in it for a round field. All in pixels. */
export interface Region {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
  readonly circle: { readonly x: number; readonly y: number; readonly radius: number } | null;
}

/** Corners of the polygon that stands for a region with a circle; its area is short by less than 2 in 100,000. */
const POLYGON_CORNERS = 720;

/** Where an object must lie wholly not to be taken for cut. */
export function usableRegion(width: number, height: number, field: Field): Region {
  const circle =
    field.kind === 'frame'
      ? null
      : { x: field.centrePx[0], y: field.centrePx[1], radius: USABLE_RADIUS * field.radiusPx };
  const [right, bottom] = [width - 1 - CLEARANCE_PX, height - 1 - CLEARANCE_PX];
  return { left: CLEARANCE_PX, top: CLEARANCE_PX, right, bottom, circle };
}

/**
 * The region without a rim.
 *
 * @param margin width of the rim in pixels, 0 or more
 * @returns null when nothing is left
 */
export function shrunkRegion(region: Region, margin: number): Region | null {
  const { left, top, right, bottom, circle } = region;
  const small = {
    left: left + margin,
    top: top + margin,
    right: right - margin,
    bottom: bottom - margin,
    circle: circle && { ...circle, radius: circle.radius - margin },
  };
  if (small.left >= small.right || small.top >= small.bottom) return null;
  return small.circle !== null && polygonOf(small).length === 0 ? null : small;
}

/** Whether a point lies in a region, on its edge included. */
export function inRegion({ left, top, right, bottom, circle }: Region, x: number, y: number): boolean {
  if (x < left || y < top || x > right || y > bottom) return false;
  return circle === null || Math.hypot(x - circle.x, y - circle.y) <= circle.radius;
}

/** Distance along a direction from a point inside to the end of a region. */
function reachOf(
  { left, top, right, bottom, circle }: Region,
  [x, y]: readonly [number, number],
  angle: number,
): number {
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  const toSide = (room: number, slope: number): number => (slope > 1e-12 ? room / slope : Infinity);
  const box = Math.min(toSide(right - x, cos), toSide(x - left, -cos), toSide(bottom - y, sin), toSide(y - top, -sin));
  if (circle === null) return box;
  const along = (circle.x - x) * cos + (circle.y - y) * sin;
  const across = (circle.x - x) * sin - (circle.y - y) * cos;
  return Math.min(box, along + Math.sqrt(Math.max(0, circle.radius ** 2 - across ** 2)));
}

/** Corners of the polygon that stands for a region; none when box and circle do not meet. */
function polygonOf(region: Region): [number, number][] {
  const { left, top, right, bottom, circle } = region;
  const clamp = (value: number, low: number, high: number): number => Math.min(high, Math.max(low, value));
  const middle: [number, number] =
    circle === null
      ? [(left + right) / 2, (top + bottom) / 2]
      : [clamp(circle.x, left, right), clamp(circle.y, top, bottom)];
  if (left > right || top > bottom || (circle !== null && circle.radius <= 0)) return [];
  if (!inRegion(region, middle[0], middle[1])) return [];
  return Array.from({ length: POLYGON_CORNERS }, (_, k) => {
    const angle = (2 * Math.PI * (k + 0.5)) / POLYGON_CORNERS;
    const reach = reachOf(region, middle, angle);
    return [middle[0] + reach * Math.cos(angle), middle[1] + reach * Math.sin(angle)];
  });
}

/** Area of a region in square pixels. */
export function regionArea(region: Region): number {
  const { left, top, right, bottom, circle } = region;
  if (circle === null) return Math.max(0, right - left) * Math.max(0, bottom - top);
  const corners = polygonOf(region);
  let twice = 0;
  for (const [k, [x, y]] of corners.entries()) {
    const [nextX, nextY] = corners[(k + 1) % corners.length];
    twice += x * nextY - nextX * y;
  }
  return twice / 2;
}
