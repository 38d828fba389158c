import { energyCentre, matchShift, medianProfile, profileShape, smoothed, type ProfileShape } from './line-profile.js';
import { fullCoordinate, type WorkingPlane } from './working-plane.js';

/** Length of one strip along the line, working pixels. */
const STRIP = 16;
/** Half width searched at first, working pixels: error of a candidate plus the bend of a barrel. */
const FIRST_REACH = 14;
/** Half width of the aligned profile, working pixels. */
const REACH = 10;
/** Values are clipped at this many deviations, so that a larva in a strip weighs little. */
const CLIP = 8;
/** Largest miss of a strip from the smooth path for it to count as support, working pixels. */
const SUPPORT_MISS = 1.2;

/** Path across = c0 + c1 t + c2 t^2, t from -1 at `from` to 1 at `to`. */
export interface LinePath {
  readonly steep: boolean;
  readonly from: number;
  readonly to: number;
  readonly curve: readonly [number, number, number];
}

/** A line followed strip by strip. Coordinates are full-scale pixels. */
export interface TracedLine {
  readonly path: LinePath;
  /** Points on the middle of the line: x, y interleaved, one for each strip that shows it. */
  readonly points: Float64Array;
  /** Share of the strips that show the line where the path expects it, 0..1. */
  readonly support: number;
  /** Length followed inside the field, pixels. */
  readonly lengthPx: number;
  /** Root mean square distance of the points from the path, pixels across. */
  readonly roughnessPx: number;
  /** Largest contrast of the mean profile against the ground around, 0 and up. */
  readonly contrast: number;
  /** Half of the width that differs from the ground, pixels. */
  readonly halfWidthPx: number;
}

interface Strip {
  readonly along: number;
  /** Profile across, or null when less than half of the strip is inside the field. */
  readonly profile: Float64Array;
}

/**
 * Follows a line from strip to strip: strips' centres, a smooth robust path, then each strip matched again with the
 * mean profile of the whole line.
 *
 * @param plane working plane
 * @param path where the line is thought to run
 * @param reach largest error of that path, working pixels
 * @returns null when fewer than five strips are inside the field or nothing stands out
 */
export function traceLine(plane: WorkingPlane, path: LinePath, reach: number = FIRST_REACH): TracedLine | null {
  const first = stripsAlong(plane, path, { reach, step: 2 });
  if (first.length < 5) return null;
  const centres = first.map((strip) => energyCentre(strip.profile, reach));
  const rough = robustPath(path, first, centres, [6, 3, 2, 1.5]);
  if (rough === null) return null;
  const strips = stripsAlong(plane, rough, { reach: REACH, step: 1 });
  if (strips.length < 5) return null;
  const template = medianProfile(strips.map(({ profile }) => profile));
  const shape = profileShape(template);
  if (shape === null) return null;
  const shifts = strips.map((strip) => matchShift(strip.profile, template, shape));
  const fine = robustPath(rough, strips, shifts, [2, 1.5, 1]);
  if (fine === null) return null;
  return collect(plane, { rough, fine, strips, shifts, shape });
}

/** Position across at `along`. */
export function acrossAt(path: LinePath, along: number): number {
  const t = (2 * (along - path.from)) / (path.to - path.from) - 1;
  return path.curve[0] + t * (path.curve[1] + t * path.curve[2]);
}

/** Mean profiles across the path, one a strip, where at least half of the strip is inside the field. */
function stripsAlong(
  plane: WorkingPlane,
  path: LinePath,
  how: { readonly reach: number; /** Every so many rows are read. */ readonly step: number },
): Strip[] {
  const { reach, step } = how;
  const { width, height, values, firstColumn, endColumn, noise } = plane;
  const limit = CLIP * noise;
  const lastAcross = (path.steep ? width : height) - 2;
  const strideAlong = path.steep ? width : 1;
  const strideAcross = path.steep ? 1 : width;
  const strips: Strip[] = [];
  const size = 2 * reach + 1;
  for (let from = Math.ceil(path.from); from + STRIP <= path.to + 1; from += STRIP) {
    const profile = new Float64Array(size);
    let lines = 0;
    for (let along = from; along < from + STRIP; along += step) {
      const across = acrossAt(path, along);
      const left = Math.floor(across) - reach;
      if (left < 0 || left + size > lastAcross) continue;
      const row = path.steep ? along : Math.round(across);
      const column = path.steep ? across : along;
      if (column - (path.steep ? reach : 0) < firstColumn[row]) continue;
      if (column + (path.steep ? reach : 0) >= endColumn[row]) continue;
      const part = across - Math.floor(across);
      let pos = along * strideAlong + left * strideAcross;
      for (let k = 0; k < size; k++, pos += strideAcross) {
        const value = values[pos] * (1 - part) + values[pos + strideAcross] * part;
        profile[k] += value > limit ? limit : value < -limit ? -limit : value;
      }
      lines++;
    }
    if (lines * 2 * step < STRIP) continue;
    strips.push({ along: from + (STRIP - 1) / 2, profile: smoothed(profile, lines) });
  }
  return strips;
}

/**
 * Path through strip centres given as shifts from an earlier path: biweight least squares of a parabola with shrinking scale,
 * started from the densest cluster of shifts along a straight line.
 */
function robustPath(
  path: LinePath,
  strips: readonly Strip[],
  shifts: readonly number[],
  scales: readonly number[],
): LinePath | null {
  const ts = strips.map((strip) => (2 * (strip.along - path.from)) / (path.to - path.from) - 1);
  let change: readonly [number, number, number] = densestLine(ts, shifts, scales[0] / 3);
  for (const scale of scales) {
    const fitted = weightedParabola(ts, shifts, change, scale);
    if (fitted === null) return null;
    change = fitted;
  }
  const { curve } = path;
  return { ...path, curve: [curve[0] + change[0], curve[1] + change[1], curve[2] + change[2]] };
}

/** Straight line a + b t, |b| <= 6, that has most shifts within `reach`; a shift that is not a number fits none. */
function densestLine(ts: readonly number[], shifts: readonly number[], reach: number): [number, number, number] {
  let best: [number, number, number] = [0, 0, 0];
  let bestCount = -1;
  const rest = new Float64Array(shifts.length);
  for (let tilt = -6; tilt <= 6; tilt += reach) {
    // not-a-numbers are sorted last and end the count
    for (let i = 0; i < rest.length; i++) rest[i] = shifts[i] - tilt * ts[i];
    rest.sort();
    let low = 0;
    for (let high = 0; high < rest.length && !Number.isNaN(rest[high]); high++) {
      while (rest[high] - rest[low] > 2 * reach) low++;
      if (high - low > bestCount) {
        bestCount = high - low;
        best = [(rest[high] + rest[low]) / 2, tilt, 0];
      }
    }
  }
  return best;
}

/** One step of iteratively reweighted least squares; null when fewer than five strips carry weight. */
function weightedParabola(
  ts: readonly number[],
  shifts: readonly number[],
  start: readonly [number, number, number],
  scale: number,
): [number, number, number] | null {
  const s = [0, 0, 0, 0, 0];
  const r = [0, 0, 0];
  let carried = 0;
  for (let i = 0; i < ts.length; i++) {
    const t = ts[i];
    const miss = (shifts[i] - start[0] - t * (start[1] + t * start[2])) / scale;
    // a strip without a match has no shift (not a number) and fails here as well
    if (!(Math.abs(miss) < 1)) continue;
    const weight = (1 - miss * miss) ** 2;
    carried++;
    let power = weight;
    for (let k = 0; k < 5; k++) {
      s[k] += power;
      if (k < 3) r[k] += power * shifts[i];
      power *= t;
    }
  }
  if (carried < 5) return null;
  // a weak pull of the bend to 0 keeps a line that shows in one part only from bending off
  return solveSymmetric3(s[0], s[1], s[2], s[2], s[3], s[4] + 0.02 * s[0], r);
}

/** Solves [[a b c] [b d e] [c e f]] x = r. */
function solveSymmetric3(
  a: number,
  b: number,
  c: number,
  d: number,
  e: number,
  f: number,
  r: readonly number[],
): [number, number, number] | null {
  const A = d * f - e * e;
  const B = c * e - b * f;
  const C = b * e - c * d;
  const determinant = a * A + b * B + c * C;
  if (Math.abs(determinant) < 1e-12) return null;
  const D = a * f - c * c;
  const E = b * c - a * e;
  const F = a * d - b * b;
  return [
    (A * r[0] + B * r[1] + C * r[2]) / determinant,
    (B * r[0] + D * r[1] + E * r[2]) / determinant,
    (C * r[0] + E * r[1] + F * r[2]) / determinant,
  ];
}

function collect(
  plane: WorkingPlane,
  traced: {
    readonly rough: LinePath;
    readonly fine: LinePath;
    readonly strips: readonly Strip[];
    readonly shifts: readonly number[];
    readonly shape: ProfileShape;
  },
): TracedLine {
  const { rough, fine, strips, shifts, shape } = traced;
  const points: number[] = [];
  let squares = 0;
  strips.forEach((strip, i) => {
    const across = acrossAt(rough, strip.along) + shifts[i];
    const miss = across - acrossAt(fine, strip.along);
    if (!(Math.abs(miss) <= SUPPORT_MISS)) return;
    squares += miss * miss;
    const a = fullCoordinate(plane, strip.along);
    const b = fullCoordinate(plane, across + shape.centre);
    points.push(fine.steep ? b : a, fine.steep ? a : b);
  });
  const count = points.length / 2;
  const path: LinePath = { ...fine, curve: [fine.curve[0] + shape.centre, fine.curve[1], fine.curve[2]] };
  const slope = (2 * fine.curve[1]) / (fine.to - fine.from);
  return {
    path,
    points: Float64Array.from(points),
    support: count / strips.length,
    lengthPx: strips.length * STRIP * Math.hypot(1, slope) * plane.factor,
    roughnessPx: Math.sqrt(squares / Math.max(1, count)) * plane.factor,
    contrast: shape.peak,
    halfWidthPx: (shape.halfWidth * plane.factor) / Math.hypot(1, slope),
  };
}
