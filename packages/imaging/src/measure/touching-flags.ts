import type { Outline } from '../raster.js';

/** Objects closer than this in micrometres touch; without a scale the limit is 1 px. */
const NEAR_UM = 1.5;
const NEAR_PX = 1;

interface Placed {
  readonly outline: Outline;
  readonly index: number;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/**
 * For each outline 1 when it touches another one, else 0: their distance is below 1.5 um or 1 px, whichever is more, or
 * they overlap, or one lies within the other. Outlines are sorted from left to right, so that only those that share
 * columns are compared, and only the parts within reach of each other: 800 on a photo take some milliseconds.
 *
 * @param umPerPx scale in micrometres per pixel, above 0, or null
 */
export function touchingFlags(outlines: readonly Outline[], umPerPx: number | null): Uint8Array {
  const reach = umPerPx === null ? NEAR_PX : Math.max(NEAR_PX, NEAR_UM / umPerPx);
  const placed = outlines.map(place).sort((a, b) => a.left - b.left || a.index - b.index);
  const flags = new Uint8Array(outlines.length);
  for (let first = 0; first < placed.length; first++) {
    const a = placed[first];
    for (let second = first + 1; second < placed.length && placed[second].left <= a.right + reach; second++) {
      const b = placed[second];
      if (b.top > a.bottom + reach || b.bottom < a.top - reach) continue;
      if (flags[a.index] === 1 && flags[b.index] === 1) continue;
      if (!areNear(a, b, reach)) continue;
      flags[a.index] = 1;
      flags[b.index] = 1;
    }
  }
  return flags;
}

function place(outline: Outline, index: number): Placed {
  let left = Infinity;
  let right = -Infinity;
  let top = Infinity;
  let bottom = -Infinity;
  for (let pos = 0; pos < outline.length; pos += 2) {
    left = Math.min(left, outline[pos]);
    right = Math.max(right, outline[pos]);
    top = Math.min(top, outline[pos + 1]);
    bottom = Math.max(bottom, outline[pos + 1]);
  }
  return { outline, index, left, right, top, bottom };
}

/** Near, overlapping or nested: where outlines cross or one holds the other, a point of one lies inside the other. */
function areNear(a: Placed, b: Placed, reach: number): boolean {
  return pointsNear(a, b, reach) || pointsNear(b, a, reach);
}

/** Whether a point of `a` lies inside `b` or within reach of a side of it. */
function pointsNear(a: Placed, b: Placed, reach: number): boolean {
  for (let pos = 0; pos < a.outline.length; pos += 2) {
    const x = a.outline[pos];
    const y = a.outline[pos + 1];
    const isInReach = x >= b.left - reach && x <= b.right + reach && y >= b.top - reach && y <= b.bottom + reach;
    if (isInReach && isNearOrInside(b.outline, x, y, reach * reach)) return true;
  }
  return false;
}

function isNearOrInside(outline: Outline, x: number, y: number, reachSquared: number): boolean {
  const size = outline.length;
  let isInside = false;
  let ax = outline[size - 2];
  let ay = outline[size - 1];
  for (let pos = 0; pos < size; pos += 2) {
    const bx = outline[pos];
    const by = outline[pos + 1];
    const sideX = bx - ax;
    const sideY = by - ay;
    const length = sideX * sideX + sideY * sideY;
    const along = length > 0 ? Math.min(1, Math.max(0, ((x - ax) * sideX + (y - ay) * sideY) / length)) : 0;
    const dx = x - ax - along * sideX;
    const dy = y - ay - along * sideY;
    if (dx * dx + dy * dy < reachSquared) return true;
    if (ay <= y !== by <= y && x < ax + ((y - ay) / sideY) * sideX) isInside = !isInside;
    ax = bx;
    ay = by;
  }
  return isInside;
}
