import type { Outline } from '../../packages/imaging/src/raster.js';

/** Points of a shape about (0, 0), given as x, y pairs clockwise on the screen, turned clockwise and moved. */
export function placed(points: readonly (readonly [number, number])[], x = 0, y = 0, turnRad = 0): Outline {
  const [cos, sin] = [Math.cos(turnRad), Math.sin(turnRad)];
  return Float64Array.from(points.flatMap(([px, py]) => [x + cos * px - sin * py, y + sin * px + cos * py]));
}

/** Ellipse with half-axes a along x and b along y, as a polygon inscribed in it. */
export function ellipsePoints(a: number, b: number, count = 720): [number, number][] {
  return Array.from({ length: count }, (_, k) => {
    const angle = (2 * Math.PI * k) / count;
    return [a * Math.cos(angle), b * Math.sin(angle)];
  });
}

/** Rectangle of width w and height h, about its middle. */
export const boxPoints = (w: number, h: number): [number, number][] => [
  [-w / 2, -h / 2],
  [w / 2, -h / 2],
  [w / 2, h / 2],
  [-w / 2, h / 2],
];

/**
 * Disc of radius r without what lies above a straight side at y = -level, like a straight-hinge larva with its hinge up.
 * The side goes from -sqrt(r^2 - level^2) to the same on the right.
 */
export function cutDiscPoints(r: number, level: number, count = 360): [number, number][] {
  const from = -Math.asin(level / r);
  const to = Math.PI - from;
  return Array.from({ length: count }, (_, k) => {
    const angle = from + ((to - from) * k) / (count - 1);
    return [r * Math.cos(angle), r * Math.sin(angle)];
  });
}
