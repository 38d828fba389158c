import type { Raster } from '../../../packages/imaging/src/raster.js';
import { seededRandom } from '../../support/seeded-random.js';

/** A ruler to be drawn: its axis runs through the middle of the picture unless it is moved. */
export interface RulerSpec {
  readonly width?: number;
  readonly height?: number;
  /** Pixels from line to line. */
  readonly division: number;
  /** Radians clockwise from x. */
  readonly angle?: number;
  readonly lines?: number;
  /** Half lengths of lines, of those of five and of those of ten, pixels. */
  readonly halves?: readonly [number, number, number];
  readonly lineWidth?: number;
  readonly ground?: number;
  readonly ink?: number;
  /** Draws a line along the ruler. */
  readonly crossed?: boolean;
  /** Ink of odd lines as a share of the others'. Default 1. */
  readonly oddShare?: number;
  /** Largest random shift of a line, pixels. */
  readonly jitter?: number;
  /** Relative change of the division from the first line to the last. */
  readonly drift?: number;
  /** Discs that lie on it: x, y, radius. */
  readonly discs?: readonly (readonly [number, number, number])[];
  /** Standard deviation of the noise, grey levels. */
  readonly noise?: number;
  /** Shift across of the whole ruler, pixels. */
  readonly moved?: number;
}

const cover = (distance: number, half: number): number => Math.max(0, Math.min(1, half - distance + 0.5));

/** Places of the lines along the ruler, its middle at 0, pixels. */
function linePlaces({ division, lines = 61, jitter = 0, drift = 0 }: RulerSpec): number[] {
  const random = seededRandom(11);
  const half = (lines - 1) / 2;
  return Array.from({ length: lines }, (_, k) => {
    const t = (k - half) / Math.max(1, half);
    return (k - half) * division + (drift * division * half * (t * t - 1)) / 4 + jitter * (2 * random() - 1);
  });
}

/** Ink of line k at a distance from it along and a place across. */
function lineInk(
  { halves = [14, 20, 28], lineWidth = 2, oddShare = 1 }: RulerSpec,
  k: number,
  off: number,
  v: number,
): number {
  const reach = k % 10 === 0 ? halves[2] : k % 5 === 0 ? halves[1] : halves[0];
  return (k % 2 === 1 ? oddShare : 1) * cover(Math.abs(off), lineWidth / 2) * cover(Math.abs(v), reach);
}

/** Grey share of ink, 0..1, of a ruler at each pixel. */
function inkOf(spec: RulerSpec, { width, height }: { width: number; height: number }): Float64Array {
  const { division, angle = 0, crossed = false, moved = 0 } = spec;
  const places = linePlaces(spec);
  const half = (places.length - 1) / 2;
  const ink = new Float64Array(width * height);
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const dx = x - (width - 1) / 2;
      const dy = y - (height - 1) / 2;
      const u = dx * c + dy * s;
      const v = -dx * s + dy * c - moved;
      let value = crossed && Math.abs(u) < half * division * 1.1 ? cover(Math.abs(v), 1) : 0;
      const about = Math.round(u / division + half);
      for (let k = Math.max(0, about - 1); k <= Math.min(places.length - 1, about + 1); k++) {
        value = Math.max(value, lineInk(spec, k, u - places[k], v));
      }
      ink[y * width + x] = value;
    }
  }
  return ink;
}

/** Draws rulers on an even ground. */
export function drawnRulers(specs: readonly RulerSpec[]): Raster {
  const [{ width = 900, height = 420, ground = 205, ink = 60, discs = [], noise = 2 }] = specs;
  const random = seededRandom(7);
  const inks = specs.map((spec) => inkOf(spec, { width, height }));
  const data = new Uint8Array(width * height * 3);
  for (let k = 0; k < width * height; k++) {
    const [x, y] = [k % width, Math.floor(k / width)];
    const covered = discs.some(([cx, cy, radius]) => Math.hypot(x - cx, y - cy) < radius);
    const share = Math.max(...inks.map((one) => one[k]));
    // the sum of three even numbers is near enough to a bell
    const shake = noise * 2 * (random() + random() + random() - 1.5);
    const value = covered ? 0.55 * ground + 25 * Math.sin(x / 3) * Math.cos(y / 4) : ground + (ink - ground) * share;
    data.fill(Math.max(0, Math.min(255, Math.round(value + shake))), 3 * k, 3 * k + 3);
  }
  return { width, height, data };
}

/** Draws one ruler. */
export const drawnRuler = (spec: RulerSpec): Raster => drawnRulers([spec]);
