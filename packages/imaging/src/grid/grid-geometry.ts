/**
 * How ruled squares lie in the picture: one radial term for the lens, then a similarity with two terms of tilt. With
 * d = (px - centre) / radius, q = d (1 + k1 |d|^2) and w = 1 + tiltX qx + tiltY qy:
 *
 *     u = u0 + (a qx + b qy) / w        lines u = 0, 1, 2, ... run across the first axis
 *     v = v0 + (1 + stretch) (a qy - b qx) / w        lines v = 0, 1, 2, ... run across the second
 */
export interface GridGeometry {
  /** Middle of the picture, pixels. */
  readonly centrePx: readonly [number, number];
  /** Half diagonal of the picture, pixels. */
  readonly radiusPx: number;
  /** Cosine and sine part of the scale: pitches per half diagonal. */
  readonly a: number;
  readonly b: number;
  /** Grid coordinates of the middle of the picture. */
  readonly u0: number;
  readonly v0: number;
  /** Change of scale towards the sides by tilt, per half diagonal. */
  readonly tiltX: number;
  readonly tiltY: number;
  /** Radial term; above 0 for barrel. */
  readonly k1: number;
  /** By how much the pitches per pixel across the second axis are more than those across the first; 0 for squares. */
  readonly stretch: number;
}

/** Places along each side of the picture at which the scale is sampled for its mean. */
const MEAN_SAMPLES = 9;

/** Grid coordinates (u, v), in pitches, of a point in pixels. */
export function pxToGrid(geometry: GridGeometry, x: number, y: number): [number, number] {
  const { a, b, u0, v0, tiltX, tiltY, k1, stretch } = geometry;
  const dx = (x - geometry.centrePx[0]) / geometry.radiusPx;
  const dy = (y - geometry.centrePx[1]) / geometry.radiusPx;
  const radial = 1 + k1 * (dx * dx + dy * dy);
  const qx = dx * radial;
  const qy = dy * radial;
  const w = 1 + tiltX * qx + tiltY * qy;
  return [u0 + (a * qx + b * qy) / w, v0 + ((1 + stretch) * (a * qy - b * qx)) / w];
}

/** Pixel of grid coordinates (u, v); the reverse of `pxToGrid` within 1e-6 px for |k1| up to 0.1 inside the picture. */
export function gridToPx(geometry: GridGeometry, u: number, v: number): [number, number] {
  const { a, b, u0, v0, tiltX, tiltY, k1, stretch } = geometry;
  const du = u - u0;
  const dv = (v - v0) / (1 + stretch);
  // du w = a qx + b qy and dv w = a qy - b qx are linear in q
  const m11 = a - du * tiltX;
  const m12 = b - du * tiltY;
  const m21 = -b - dv * tiltX;
  const m22 = a - dv * tiltY;
  const determinant = m11 * m22 - m12 * m21;
  const qx = (m22 * du - m12 * dv) / determinant;
  const qy = (m11 * dv - m21 * du) / determinant;
  let dx = qx;
  let dy = qy;
  for (let i = 0; i < 20; i++) {
    const radial = 1 + k1 * (dx * dx + dy * dy);
    dx = qx / radial;
    dy = qy / radial;
  }
  return [geometry.centrePx[0] + dx * geometry.radiusPx, geometry.centrePx[1] + dy * geometry.radiusPx];
}

/** Pitches per pixel at a point: root of the area of a pixel in squares. */
export function pitchesPerPx(geometry: GridGeometry, x: number, y: number): number {
  const [uRight, vRight] = pxToGrid(geometry, x + 0.5, y);
  const [uLeft, vLeft] = pxToGrid(geometry, x - 0.5, y);
  const [uBelow, vBelow] = pxToGrid(geometry, x, y + 0.5);
  const [uAbove, vAbove] = pxToGrid(geometry, x, y - 0.5);
  return Math.sqrt(Math.abs((uRight - uLeft) * (vBelow - vAbove) - (uBelow - uAbove) * (vRight - vLeft)));
}

/** Pitches per pixel, mean over the picture whose middle and half diagonal the geometry has. */
export function meanPitchesPerPx(geometry: GridGeometry, width: number, height: number): number {
  let sum = 0;
  for (let row = 0; row < MEAN_SAMPLES; row++) {
    for (let column = 0; column < MEAN_SAMPLES; column++) {
      const x = ((width - 1) * column) / (MEAN_SAMPLES - 1);
      const y = ((height - 1) * row) / (MEAN_SAMPLES - 1);
      sum += pitchesPerPx(geometry, x, y);
    }
  }
  return sum / MEAN_SAMPLES ** 2;
}
