import type { DrawnOutline } from '@veligrid/review';
import clipping, { type MultiPolygon, type Ring } from 'polygon-clipping';

export type Point = readonly [number, number];

/** Corners of an oval drawn from its two ends. */
const OVAL_CORNERS = 32;
/** Width of such an oval over its length: most larvae lie between 0.8 and 0.95 (common practice, no source). */
const OVAL_WIDTH = 0.85;
/** Parts smaller than this share of the whole are crumbs of a cut, not larvae. */
const CRUMB = 0.02;

const ringOf = (outline: DrawnOutline): Ring => outline.map(([x, y]): [number, number] => [x, y]);

/** Twice the signed area of a ring. */
const twiceArea = (ring: readonly Point[]): number =>
  ring.reduce((sum, [x, y], i) => {
    const [nextX, nextY] = ring[(i + 1) % ring.length] ?? [x, y];
    return sum + x * nextY - nextX * y;
  }, 0);

/** Area of a ring in square pixels. */
export const areaOf = (ring: readonly Point[]): number => Math.abs(twiceArea(ring)) / 2;

/** Outer rings without their repeated end point. */
function outerRings(polygons: MultiPolygon): DrawnOutline[] {
  return polygons.flatMap(([outer]) => (outer === undefined ? [] : [outer.slice(0, -1)]));
}

/** An oval between two ends, for a larva added by two taps. */
export function ovalBetween([ax, ay]: Point, [bx, by]: Point): DrawnOutline {
  const [cx, cy] = [(ax + bx) / 2, (ay + by) / 2];
  const [ux, uy] = [(bx - ax) / 2, (by - ay) / 2];
  return Array.from({ length: OVAL_CORNERS }, (_, i): Point => {
    const turn = (2 * Math.PI * i) / OVAL_CORNERS;
    const [along, across] = [Math.cos(turn), OVAL_WIDTH * Math.sin(turn)];
    return [cx + along * ux - across * uy, cy + along * uy + across * ux];
  });
}

/** What taps stand for: two ends give an oval, three or more the outline itself; fewer nothing. */
export function outlineFromTaps(taps: readonly Point[]): DrawnOutline | null {
  const [first, second] = taps;
  if (first === undefined || second === undefined) return null;
  const outline = taps.length === 2 ? ovalBetween(first, second) : taps;
  return areaOf(outline) > 1 ? outline : null;
}

/** A thin strip along the line through two points, long enough to cross any outline near it. */
function knife(from: Point, to: Point, reach: number): Ring {
  const length = Math.hypot(to[0] - from[0], to[1] - from[1]) || 1;
  const [ux, uy] = [(to[0] - from[0]) / length, (to[1] - from[1]) / length];
  const half = 0.05;
  const corner = ([x, y]: Point, along: number, across: number): [number, number] => [
    x + along * ux - across * uy,
    y + along * uy + across * ux,
  ];
  return [corner(from, -reach, -half), corner(to, reach, -half), corner(to, reach, half), corner(from, -reach, half)];
}

/**
 * Cuts an outline along the line through two points.
 *
 * @returns the two or more parts, or null when the line does not cross it
 */
export function cutOutline(outline: DrawnOutline, from: Point, to: Point): DrawnOutline[] | null {
  const reach = 4 * Math.sqrt(areaOf(outline)) + Math.hypot(to[0] - from[0], to[1] - from[1]);
  const parts = outerRings(clipping.difference([ringOf(outline)], [knife(from, to, reach)]));
  const whole = areaOf(outline);
  const kept = parts.filter((part) => areaOf(part) > CRUMB * whole);
  return kept.length >= 2 ? kept : null;
}

/** Convex hull of points, anticlockwise in a frame with y up (Andrew's monotone chain). */
function hull(points: readonly Point[]): DrawnOutline {
  const sorted = [...points].sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  const half = (list: readonly Point[]): Point[] => {
    const out: Point[] = [];
    for (const p of list) {
      while (out.length >= 2 && turnsRight(out.at(-2), out.at(-1), p)) out.pop();
      out.push(p);
    }
    return out.slice(0, -1);
  };
  return [...half(sorted), ...half(sorted.toReversed())];
}

const turnsRight = (a: Point | undefined, b: Point | undefined, c: Point): boolean =>
  a !== undefined && b !== undefined && (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]) <= 0;

/** One outline round several: their union where they touch, else the hull, as one animal may be found in pieces. */
export function joinOutlines(outlines: readonly DrawnOutline[]): DrawnOutline {
  const [first, ...rest] = outlines.map((outline) => [ringOf(outline)]);
  if (first === undefined) return [];
  const rings = outerRings(clipping.union(first, ...rest));
  return rings.length === 1 && rings[0] !== undefined ? rings[0] : hull(outlines.flat());
}

/** Whether a point lies in an outline (even-odd rule). */
export function holds(outline: DrawnOutline, [x, y]: Point): boolean {
  let inside = false;
  let [ax, ay] = outline.at(-1) ?? [0, 0];
  for (const [bx, by] of outline) {
    if (ay > y !== by > y && x < ax + ((y - ay) / (by - ay)) * (bx - ax)) inside = !inside;
    [ax, ay] = [bx, by];
  }
  return inside;
}

/** Least and greatest x and y. */
export interface Box {
  readonly minX: number;
  readonly minY: number;
  readonly maxX: number;
  readonly maxY: number;
}

/** Smallest upright box round an outline. */
export function boxOf(outline: DrawnOutline): Box {
  let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const [x, y] of outline) {
    if (x < minX) minX = x;
    if (x > maxX) maxX = x;
    if (y < minY) minY = y;
    if (y > maxY) maxY = y;
  }
  return { minX, minY, maxX, maxY };
}
