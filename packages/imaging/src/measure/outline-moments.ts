import type { Outline } from '../raster.js';

/** Area, centroid and second central moments of the region inside an outline. */
export interface OutlineMoments {
  /** Enclosed area in square pixels, whatever the sense of the outline; 0 for fewer than three points. */
  readonly areaPx2: number;
  /** Centroid in pixels; the mean of the points when the area is 0, NaN without points. */
  readonly x: number;
  readonly y: number;
  /** Mean square distance from the centroid along x, in square pixels. */
  readonly xx: number;
  /** Mean product of the distances along x and y. */
  readonly xy: number;
  readonly yy: number;
}

/**
 * Moments of the region inside a closed outline, exact for the polygon: the integral over each triangle that an edge
 * spans with the first point. The second moments are those of ISO 9276-6's ellipse of inertia (Legendre ellipse), whose
 * axes are four times the roots of the eigenvalues of [[xx, xy], [xy, yy]].
 *
 * Formulas: C. Steger, "On the calculation of arbitrary moments of polygons", TU Munich FGBV-96-05 (1996); from memory.
 */
export function outlineMoments(outline: Outline): OutlineMoments {
  const count = outline.length >> 1;
  if (count === 0) return { areaPx2: 0, x: NaN, y: NaN, xx: 0, xy: 0, yy: 0 };

  // Relative to the first point, so that nothing cancels far from the picture's corner.
  const originX = outline[0];
  const originY = outline[1];
  let twiceArea = 0;
  let sumX = 0;
  let sumY = 0;
  let sumXx = 0;
  let sumXy = 0;
  let sumYy = 0;
  let ax = outline[2 * count - 2] - originX;
  let ay = outline[2 * count - 1] - originY;
  for (let pos = 0; pos < 2 * count; pos += 2) {
    const bx = outline[pos] - originX;
    const by = outline[pos + 1] - originY;
    const cross = ax * by - bx * ay;
    twiceArea += cross;
    sumX += cross * (ax + bx);
    sumY += cross * (ay + by);
    sumXx += cross * (ax * ax + ax * bx + bx * bx);
    sumYy += cross * (ay * ay + ay * by + by * by);
    sumXy += cross * (ax * (2 * ay + by) + bx * (ay + 2 * by));
    ax = bx;
    ay = by;
  }
  if (twiceArea === 0) return { areaPx2: 0, ...meanPoint(outline), xx: 0, xy: 0, yy: 0 };

  const x = sumX / (3 * twiceArea);
  const y = sumY / (3 * twiceArea);
  return {
    areaPx2: Math.abs(twiceArea) / 2,
    x: x + originX,
    y: y + originY,
    xx: sumXx / (6 * twiceArea) - x * x,
    xy: sumXy / (12 * twiceArea) - x * y,
    yy: sumYy / (6 * twiceArea) - y * y,
  };
}

function meanPoint(outline: Outline): { x: number; y: number } {
  let x = 0;
  let y = 0;
  for (let pos = 0; pos < outline.length; pos += 2) {
    x += outline[pos];
    y += outline[pos + 1];
  }
  const count = outline.length / 2;
  return { x: x / count, y: y / count };
}
