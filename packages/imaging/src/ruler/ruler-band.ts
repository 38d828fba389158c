import type { Field } from '@veligrid/model';
import type { Raster } from '../raster.js';

/** A straight frame laid over the picture: along runs across the division lines, across runs with them. */
export interface RulerFrame {
  /** Origin, pixels. */
  readonly x: number;
  readonly y: number;
  /** Direction of along, radians clockwise from x. */
  readonly angle: number;
  /** Shift along for each pixel across: 0 when the lines stand square on the direction. */
  readonly lean: number;
}

/** Pixel of a place in the frame. */
export function framePoint(frame: RulerFrame, along: number, across: number): [number, number] {
  const c = Math.cos(frame.angle);
  const s = Math.sin(frame.angle);
  const t = along + frame.lean * across;
  return [frame.x + t * c - across * s, frame.y + t * s + across * c];
}

/** Green value at a place between pixels; the border goes on outside. */
function greenAt({ data, width, height }: Raster, x: number, y: number): number {
  const px = Math.max(0, Math.min(width - 1.001, x));
  const py = Math.max(0, Math.min(height - 1.001, y));
  const column = Math.floor(px);
  const row = Math.floor(py);
  const fx = px - column;
  const fy = py - row;
  const pos = (row * width + column) * 3 + 1;
  const below = pos + width * 3;
  const upper = data[pos] + (data[pos + 3] - data[pos]) * fx;
  const lower = data[below] + (data[below + 3] - data[below]) * fx;
  return upper + (lower - upper) * fy;
}

/** Green value at a place in the frame. */
export function frameValue(raster: Raster, frame: RulerFrame, along: number, across: number): number {
  const [x, y] = framePoint(frame, along, across);
  return greenAt(raster, x, y);
}

/** Which places are read: whole numbers along, and so many lines across. */
export interface BandExtent {
  readonly from: number;
  readonly to: number;
  /** Places across. */
  readonly rows: readonly number[];
}

/** One profile along the frame: the mean over the rows at each whole place from `from` to `to`. */
export function bandProfile(raster: Raster, frame: RulerFrame, extent: BandExtent): Float64Array {
  const profile = new Float64Array(extent.to - extent.from + 1);
  const c = Math.cos(frame.angle);
  const s = Math.sin(frame.angle);
  const share = 1 / extent.rows.length;
  for (const across of extent.rows) {
    const [x, y] = framePoint(frame, extent.from, across);
    for (let k = 0; k < profile.length; k++) profile[k] += share * greenAt(raster, x + k * c, y + k * s);
  }
  return profile;
}

/** Least and greatest along at which the frame's axis lies in the picture and in the field; whole numbers. */
export function spanInside(raster: Raster, field: Field, frame: RulerFrame): { from: number; to: number } {
  const c = Math.cos(frame.angle);
  const s = Math.sin(frame.angle);
  let from = -Infinity;
  let to = Infinity;
  const clip = (origin: number, direction: number, last: number): void => {
    if (Math.abs(direction) < 1e-9) return;
    const a = -origin / direction;
    const b = (last - origin) / direction;
    from = Math.max(from, Math.min(a, b));
    to = Math.min(to, Math.max(a, b));
  };
  clip(frame.x, c, raster.width - 1);
  clip(frame.y, s, raster.height - 1);
  if (field.kind === 'round') {
    const along = (field.centrePx[0] - frame.x) * c + (field.centrePx[1] - frame.y) * s;
    const off = -(field.centrePx[0] - frame.x) * s + (field.centrePx[1] - frame.y) * c;
    const half = Math.sqrt(Math.max(0, (0.98 * field.radiusPx) ** 2 - off * off));
    from = Math.max(from, along - half);
    to = Math.min(to, along + half);
  }
  return { from: Math.ceil(from), to: Math.floor(to) };
}
