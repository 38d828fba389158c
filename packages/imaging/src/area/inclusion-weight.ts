import type { Outline } from '../raster.js';
import { regionArea, type Region } from './usable-region.js';

/** Objects wider than this share of the region say nothing safe of those that are never whole in it. */
const WIDEST = 0.5;

/**
 * Weight of a whole object in figures of lengths: one over the chance that an object like it, anywhere over the region,
 * lies wholly in it. In a frame of width W and height H that is W H / ((W - x) (H - y)), with x and y the object's
 * extents along its sides (Miles-Lantuejoul; ISO 13322-1 has the same); in a round field the object counts as the
 * circle about the middle of its box.
 *
 * @param region where an object must lie wholly to be measured
 * @param outline in the same pixels
 * @returns 1 or more; null when the object is wider than half the region
 */
export function inclusionWeight(region: Region, outline: Outline): number | null {
  let [left, top, right, bottom] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let pos = 0; pos < outline.length; pos += 2) {
    [left, right] = [Math.min(left, outline[pos]), Math.max(right, outline[pos])];
    [top, bottom] = [Math.min(top, outline[pos + 1]), Math.max(bottom, outline[pos + 1])];
  }
  const [width, height] = [right - left, bottom - top];
  if (width > WIDEST * (region.right - region.left) || height > WIDEST * (region.bottom - region.top)) return null;
  const { circle } = region;
  const half = { x: width / 2, y: height / 2 };
  if (circle !== null && Math.max(width, height) > WIDEST * 2 * circle.radius) return null;
  const middle = { x: left + half.x, y: top + half.y };
  let reach = 0;
  for (let pos = 0; pos < outline.length; pos += 2) {
    reach = Math.max(reach, Math.hypot(outline[pos] - middle.x, outline[pos + 1] - middle.y));
  }
  const eroded: Region = {
    left: region.left + half.x,
    top: region.top + half.y,
    right: region.right - half.x,
    bottom: region.bottom - half.y,
    circle: circle && { ...circle, radius: circle.radius - reach },
  };
  const room = regionArea(eroded);
  return room > 0 ? regionArea(region) / room : null;
}
