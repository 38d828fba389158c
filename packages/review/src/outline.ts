import type { DrawnOutline } from './decision.js';

/** Size and place of an outline in pixels. */
export interface OutlineMeasures {
  readonly x: number;
  readonly y: number;
  readonly areaPx2: number;
  /** Greatest distance between corners, and the extent across it. */
  readonly lengthPx: number;
  readonly heightPx: number;
}

type Point = readonly [number, number];

const cross = ([ax, ay]: Point, [bx, by]: Point): number => ax * by - bx * ay;

/** Corners with the one after each. */
const edges = (outline: DrawnOutline): (readonly [Point, Point])[] =>
  outline.map((corner, i) => [corner, outline[(i + 1) % outline.length] ?? corner]);

/** The two corners furthest apart. */
function furthest(outline: DrawnOutline): readonly [Point, Point] {
  let best: readonly [Point, Point] = [
    [0, 0],
    [0, 0],
  ];
  let most = -1;
  outline.forEach((a, i) => {
    for (const b of outline.slice(i + 1)) {
      const distance = Math.hypot(a[0] - b[0], a[1] - b[1]);
      if (distance > most) [most, best] = [distance, [a, b]];
    }
  });
  return best;
}

/** Centroid and area by the shoelace formula, greatest length and the extent across it. */
export function outlineMeasures(outline: DrawnOutline): OutlineMeasures {
  // Around the first corner, so that far-off pictures lose no digits.
  const [ox, oy] = outline[0] ?? [0, 0];
  const near = outline.map(([x, y]): Point => [x - ox, y - oy]);
  const pairs = edges(near);
  const twice = pairs.reduce((sum, [a, b]) => sum + cross(a, b), 0);
  const moment = (axis: 0 | 1): number =>
    pairs.reduce((sum, [a, b]) => sum + (a[axis] + b[axis]) * cross(a, b), 0) / (3 * twice);
  const [from, to] = furthest(near);
  const lengthPx = Math.hypot(to[0] - from[0], to[1] - from[1]);
  const across = near.map(
    ([x, y]) => ((x - from[0]) * (to[1] - from[1]) - (y - from[1]) * (to[0] - from[0])) / lengthPx,
  );
  return {
    x: ox + moment(0),
    y: oy + moment(1),
    areaPx2: Math.abs(twice) / 2,
    lengthPx,
    heightPx: Math.max(...across) - Math.min(...across),
  };
}

/** Whether a point lies inside a polygon (even-odd rule; a shared edge belongs to one side only). */
export function isInside([x, y]: Point, polygon: readonly Point[]): boolean {
  return edges(polygon).reduce(
    (inside, [a, b]) =>
      a[1] > y !== b[1] > y && x < a[0] + ((y - a[1]) / (b[1] - a[1])) * (b[0] - a[0]) ? !inside : inside,
    false,
  );
}
