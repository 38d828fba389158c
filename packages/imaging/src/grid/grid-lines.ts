import type { GridFit } from './find-grid.js';
import { gridToPx, pxToGrid } from './grid-geometry.js';

type Point = readonly [number, number];

/** Parts that a line is tried in; it is drawn from the first to the last that lies in the picture. */
const PARTS = 64;

/** The lines of a grid as they were fitted, each from one border of the picture to the other, pixels. */
export function gridLines(
  grid: GridFit,
  size: { readonly width: number; readonly height: number },
): (readonly [Point, Point])[] {
  const { geometry } = grid;
  const corners = [
    [0, 0],
    [size.width - 1, 0],
    [0, size.height - 1],
    [size.width - 1, size.height - 1],
  ].map(([x, y]) => pxToGrid(geometry, x, y));
  const us = corners.map(([u]) => u);
  const vs = corners.map(([, v]) => v);
  const inside = ([x, y]: Point): boolean => x >= 0 && y >= 0 && x <= size.width - 1 && y <= size.height - 1;
  const between = (at: (other: number) => Point, others: readonly number[]): (readonly [Point, Point])[] => {
    const low = Math.min(...others);
    const step = (Math.max(...others) - low) / PARTS;
    const points = Array.from({ length: PARTS + 1 }, (_, k) => at(low + k * step)).filter(inside);
    return points.length < 2 ? [] : [[points[0], points[points.length - 1]]];
  };
  return [
    ...grid.linesU.flatMap((u) => between((v) => gridToPx(geometry, u, v), vs)),
    ...grid.linesV.flatMap((v) => between((u) => gridToPx(geometry, u, v), us)),
  ];
}
