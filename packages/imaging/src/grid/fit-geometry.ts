import { inverse, Matrix, solve } from 'ml-matrix';
import { meanPitchesPerPx, pxToGrid, type GridGeometry } from './grid-geometry.js';

/** Expected size of tilt and of the radial term, per half diagonal: standard deviations of a weak prior about 0. */
const TILT_PRIOR = 0.02;
const RADIAL_PRIOR = 0.01;
/** The same of the stretch of squares that may be longer one way, and of those that are none. */
const STRETCH_PRIOR = 0.05;
const NO_STRETCH_PRIOR = 1e-6;
/** Least standard deviation granted to a point, working pixels. */
const LEAST_DEVIATION = 0.1;
/** Points of one line share errors (etching, larvae): so many of them tell as much as one free of the others. */
const SHARED_ERRORS = 8;
const STEPS = 12;
/** Order: a, b, u0, v0, tiltX, tiltY, k1, stretch. */
const PARAMETERS = 8;

/** Points of one line with its family and number. */
export interface NumberedLine {
  /** True for a line of constant u, false for one of constant v. */
  readonly first: boolean;
  readonly number: number;
  /** x, y interleaved, full-scale pixels. */
  readonly points: Float64Array;
}

/** Result of the least-squares fit. */
export interface FittedGeometry {
  readonly geometry: GridGeometry;
  /** Root mean square distance of the points kept from their lines, pixels. */
  readonly residualRmsPx: number;
  /** Share of the points that were kept, 0..1. */
  readonly keptShare: number;
  /** Standard uncertainty of the mean pitch over the mean pitch, 0 and up. */
  readonly relativeStandardUncertainty: number;
}

/** Size of the picture and side of a working pixel, pixels. */
export interface PictureFrame {
  readonly width: number;
  readonly height: number;
  readonly factor: number;
  /** Whether squares may be longer one way than the other. Default false. */
  readonly unequal?: boolean;
}

/**
 * Robust least squares of all line points: biweight Gauss-Newton on similarity, tilt and radial term, with weak priors on the
 * last three so that few lines stay well behaved.
 *
 * @param lines numbered lines, at least two of one family
 * @param start direction and size of the first axis: cosine and sine part in pitches per pixel
 * @param frame picture
 * @returns null when all points of the lines fall away
 */
export function fitGeometry(
  lines: readonly NumberedLine[],
  start: { readonly a: number; readonly b: number },
  frame: PictureFrame,
): FittedGeometry | null {
  const centrePx: [number, number] = [(frame.width - 1) / 2, (frame.height - 1) / 2];
  const radiusPx = Math.hypot(frame.width, frame.height) / 2;
  const pitchPx = 1 / Math.hypot(start.a, start.b);
  const begin = [start.a * radiusPx, start.b * radiusPx, 0, 0, 0, 0, 0, 0];
  let geometry = toGeometry(begin, centrePx, radiusPx);
  let deviation = pitchPx / 10;
  let cutoff = Infinity;
  let solved: Solved | null = null;
  for (let step = 0; step < STEPS; step++) {
    solved = solveStep(lines, geometry, { pitchPx, cutoff, deviation, unequal: frame.unequal === true });
    if (solved === null) return null;
    geometry = toGeometry(solved.parameters, centrePx, radiusPx);
    deviation = Math.max(LEAST_DEVIATION * frame.factor, solved.deviation);
    cutoff = step < 2 ? pitchPx / 4 : Math.max(2 * frame.factor, 6 * deviation);
  }
  if (solved === null) return null;
  const { keptShare, rms, covariance } = solved;
  const gradient = logPitchGradient(geometry, frame);
  const variance = gradient.mmul(covariance).mmul(gradient.transpose()).get(0, 0);
  return { geometry, residualRmsPx: rms, keptShare, relativeStandardUncertainty: Math.sqrt(variance) };
}

function toGeometry(p: readonly number[], centrePx: readonly [number, number], radiusPx: number): GridGeometry {
  const [a, b, u0, v0, tiltX, tiltY, k1, stretch] = p as readonly number[] & { length: 8 };
  return { centrePx, radiusPx, a, b, u0, v0, tiltX, tiltY, k1, stretch };
}

function toParameters(geometry: GridGeometry): number[] {
  const { a, b, u0, v0, tiltX, tiltY, k1, stretch } = geometry;
  return [a, b, u0, v0, tiltX, tiltY, k1, stretch];
}

interface Solved {
  readonly parameters: readonly number[];
  readonly covariance: Matrix;
  /** Robust standard deviation of the points before the step, pixels. */
  readonly deviation: number;
  readonly rms: number;
  readonly keptShare: number;
}

/** One weighted Gauss-Newton step of the normal equations. */
function solveStep(
  lines: readonly NumberedLine[],
  geometry: GridGeometry,
  how: { readonly pitchPx: number; readonly cutoff: number; readonly deviation: number; readonly unequal: boolean },
): Solved | null {
  const normal = Matrix.zeros(PARAMETERS, PARAMETERS);
  const right = Matrix.zeros(PARAMETERS, 1);
  const row = new Float64Array(PARAMETERS);
  const sizes: number[] = [];
  let squares = 0;
  let total = 0;
  for (const line of lines) {
    for (let i = 0; i < line.points.length; i += 2, total++) {
      const miss = how.pitchPx * fillRow(row, geometry, line, i);
      const share = miss / how.cutoff;
      if (!(Math.abs(share) < 1)) continue;
      sizes.push(Math.abs(miss));
      squares += miss * miss;
      addRow(normal, right, row, {
        miss,
        scale: how.pitchPx,
        weight: (1 - share * share) ** 2 / (how.deviation * how.deviation * SHARED_ERRORS),
      });
    }
  }
  if (sizes.length < PARAMETERS) return null;
  const parameters = toParameters(geometry);
  const stretchPrior = how.unequal ? STRETCH_PRIOR : NO_STRETCH_PRIOR;
  const priors = [Infinity, Infinity, Infinity, Infinity, TILT_PRIOR, TILT_PRIOR, RADIAL_PRIOR, stretchPrior];
  priors.forEach((prior, i) => {
    const precision = 1 / (prior * prior) + 1e-12;
    normal.set(i, i, normal.get(i, i) + precision);
    right.set(i, 0, right.get(i, 0) - precision * parameters[i]);
  });
  const change = solve(normal, right);
  sizes.sort((one, other) => one - other);
  return {
    parameters: parameters.map((value, i) => value + change.get(i, 0)),
    covariance: inverse(normal),
    deviation: 1.4826 * sizes[sizes.length >> 1],
    rms: Math.sqrt(squares / sizes.length),
    keptShare: sizes.length / total,
  };
}

/** Derivatives of the line coordinate by the parameters at one point; returns how far the coordinate lies below the line's number. */
function fillRow(row: Float64Array, geometry: GridGeometry, line: NumberedLine, at: number): number {
  const { a, b, u0, v0, tiltX, tiltY, k1, stretch, centrePx, radiusPx } = geometry;
  const dx = (line.points[at] - centrePx[0]) / radiusPx;
  const dy = (line.points[at + 1] - centrePx[1]) / radiusPx;
  const square = dx * dx + dy * dy;
  const qx = dx * (1 + k1 * square);
  const qy = dy * (1 + k1 * square);
  const w = 1 + tiltX * qx + tiltY * qy;
  const along = line.first ? 1 : 1 + stretch;
  const value = (along * (line.first ? a * qx + b * qy : a * qy - b * qx)) / w;
  row[0] = (along * (line.first ? qx : qy)) / w;
  row[1] = (along * (line.first ? qy : -qx)) / w;
  row[2] = line.first ? 1 : 0;
  row[3] = line.first ? 0 : 1;
  row[4] = (-value * qx) / w;
  row[5] = (-value * qy) / w;
  const outward = along * (line.first ? a * dx + b * dy : a * dy - b * dx);
  row[6] = (square * (outward - value * (tiltX * dx + tiltY * dy))) / w;
  row[7] = line.first ? 0 : value / along;
  return line.number - value - (line.first ? u0 : v0);
}

function addRow(
  normal: Matrix,
  right: Matrix,
  row: Float64Array,
  how: { readonly miss: number; readonly scale: number; readonly weight: number },
): void {
  const squareScale = how.weight * how.scale * how.scale;
  for (let i = 0; i < PARAMETERS; i++) {
    right.set(i, 0, right.get(i, 0) + how.weight * how.scale * row[i] * how.miss);
    for (let j = 0; j < PARAMETERS; j++) normal.set(i, j, normal.get(i, j) + squareScale * row[i] * row[j]);
  }
}

/** Relative change of the mean pitch for a unit change of each parameter. */
function logPitchGradient(geometry: GridGeometry, frame: PictureFrame): Matrix {
  const parameters = toParameters(geometry);
  const logPitch = (p: readonly number[]): number =>
    -Math.log(meanPitchesPerPx(toGeometry(p, geometry.centrePx, geometry.radiusPx), frame.width, frame.height));
  const row = parameters.map((_, i) => {
    const step = 1e-5 * Math.max(1, Math.abs(parameters[i]));
    const up = parameters.map((value, j) => (j === i ? value + step : value));
    const down = parameters.map((value, j) => (j === i ? value - step : value));
    return (logPitch(up) - logPitch(down)) / (2 * step);
  });
  return new Matrix([row]);
}

/** Mean distance of a line's points from its place in the grid, in pitches, sign kept out. */
export function meanMiss(geometry: GridGeometry, line: NumberedLine): number {
  let sum = 0;
  for (let i = 0; i < line.points.length; i += 2) {
    const [u, v] = pxToGrid(geometry, line.points[i], line.points[i + 1]);
    sum += Math.abs((line.first ? u : v) - line.number);
  }
  return sum / (line.points.length / 2);
}
