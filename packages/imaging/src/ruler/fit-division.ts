import { inverse, Matrix } from 'ml-matrix';
import { fitLine } from '../scale/fit-line.js';
import type { RulerLine } from './follow-lines.js';

/** Expected size of tilt and of the radial term of the lens, per half diagonal: standard deviations of a weak prior about 0. */
const TILT_PRIOR = 0.02;
const RADIAL_PRIOR = 0.01;
/** Lines farther from the fit than so many robust deviations are left out, and never those nearer than this, pixels. */
const MOST_DEVIATIONS = 4;
const LEAST_LIMIT_PX = 0.15;
/** Least standard deviation granted to a line, pixels: few lines can lie on a curve by chance, so they are granted more. */
const leastDeviationPx = (lines: number): number => 0.02 + 0.8 / lines;
const ROUNDS = 4;
/**
 * What the model of tilt and lens leaves out, relative: on drawn slides errors were mostly below a twentieth of a per cent, and with strong
 * tilt below a tenth of the change along the ruler.
 */
const MODEL_ERROR = 0.0005;
const TILT_ERROR = 0.1;

/** Where a ruler lies in its picture. */
export interface RulerPlace {
  /** Place along the ruler nearest to the middle of the picture, pixels. */
  readonly middleAlong: number;
  /** Distance of the ruler's axis from the middle of the picture, pixels. */
  readonly offAxisPx: number;
  /** Half diagonal of the picture, pixels. */
  readonly radiusPx: number;
  /** Mean over the part of the picture in use of the squared distance from its middle, square pixels. */
  readonly meanSquarePx2: number;
}

/** Division of a ruler by least squares, and how the lines stray from even spacing. */
export interface DivisionFit {
  /** Mean over the picture of the distance of neighbouring lines, along the frame, pixels. */
  readonly divisionPx: number;
  /** Standard uncertainty of `divisionPx` over it. */
  readonly relativeStandardUncertainty: number;
  /** Standard deviation of the lines about the fit, pixels. */
  readonly residualPx: number;
  /** Relative change of the division from the first line to the last, as tilt makes it. */
  readonly drift: number;
  /** Relative difference of the division at both ends from that in the middle, as a lens makes it. */
  readonly bulge: number;
  /** Lines that the fit rests on. */
  readonly kept: readonly RulerLine[];
}

interface Solved {
  /** number = a + b p + c p^2 + d p^3 with p along the ruler from the middle of the picture. */
  readonly terms: readonly [number, number, number, number];
  readonly covariance: Matrix;
}

/**
 * Fits the numbers of division lines by their places, with tilt and the lens allowed for as far as the lines show them: number =
 * a + p (1 + tilt p / 2 + k p^2 + k q^2) / division, p along the ruler and q across it from the middle of the picture. With few lines, or
 * a short ruler, tilt and lens stay near 0 and make the division less certain.
 *
 * @param lines at least three
 */
export function fitDivision(lines: readonly RulerLine[], place: RulerPlace): DivisionFit {
  const straight = fitLine(
    lines.map(({ number }) => number),
    lines.map(({ along }) => along),
  );
  const divisionPx = straight.slope;
  let kept = lines;
  let deviation = Math.max(leastDeviationPx(lines.length), straight.residualDeviation);
  let solved = solveTerms(kept, place, { divisionPx, deviation });
  for (let round = 0; round < ROUNDS; round++) {
    const misses = lines.map((line) => Math.abs(missPx(line, solved, place)));
    const robust = 1.4826 * ([...misses].sort((one, other) => one - other)[misses.length >> 1] ?? 0);
    const limit = Math.max(LEAST_LIMIT_PX, MOST_DEVIATIONS * robust);
    const inside = lines.filter((_, k) => misses[k] <= limit);
    if (inside.length < 3) break;
    kept = inside;
    deviation = Math.max(leastDeviationPx(kept.length), deviationOf(kept, solved, place));
    solved = solveTerms(kept, place, { divisionPx, deviation });
  }
  return describe(kept, solved, place);
}

function solveTerms(
  lines: readonly RulerLine[],
  place: RulerPlace,
  noise: { readonly divisionPx: number; readonly deviation: number },
): Solved {
  const { radiusPx, middleAlong } = place;
  const { divisionPx, deviation } = noise;
  const weight = (divisionPx / deviation) ** 2;
  const normal = Matrix.zeros(4, 4);
  const right = Matrix.zeros(4, 1);
  // places in half diagonals keep the sums of one size
  for (const { number, along } of lines) {
    const t = (along - middleAlong) / radiusPx;
    const row = [1, t, t * t, t * t * t];
    for (let i = 0; i < 4; i++) {
      right.set(i, 0, right.get(i, 0) + weight * row[i] * number);
      for (let j = 0; j < 4; j++) normal.set(i, j, normal.get(i, j) + weight * row[i] * row[j]);
    }
  }
  const perDivision = divisionPx / radiusPx;
  normal.set(2, 2, normal.get(2, 2) + ((2 * perDivision) / TILT_PRIOR) ** 2);
  normal.set(3, 3, normal.get(3, 3) + (perDivision / RADIAL_PRIOR) ** 2);
  const covariance = inverse(normal);
  const answer = covariance.mmul(right);
  return { terms: [answer.get(0, 0), answer.get(1, 0), answer.get(2, 0), answer.get(3, 0)], covariance };
}

function missPx({ number, along }: RulerLine, { terms }: Solved, { middleAlong, radiusPx }: RulerPlace): number {
  const t = (along - middleAlong) / radiusPx;
  const [a, b, c, d] = terms;
  return ((number - (a + t * (b + t * (c + t * d)))) * radiusPx) / (b + t * (2 * c + 3 * d * t));
}

function deviationOf(lines: readonly RulerLine[], solved: Solved, place: RulerPlace): number {
  const squares = lines.reduce((sum, line) => sum + missPx(line, solved, place) ** 2, 0);
  return Math.sqrt(squares / Math.max(1, lines.length - 2));
}

function describe(kept: readonly RulerLine[], solved: Solved, place: RulerPlace): DivisionFit {
  const { radiusPx, offAxisPx, middleAlong, meanSquarePx2 } = place;
  const [, b, c, d] = solved.terms;
  // root of the area that a square takes, (1 + k r^2)(1 + 3 k r^2), to first order
  const lens = (2 * meanSquarePx2 - offAxisPx ** 2) / radiusPx ** 2;
  const perRadius = b + d * lens;
  const { covariance } = solved;
  const variance = covariance.get(1, 1) + 2 * lens * covariance.get(1, 3) + lens * lens * covariance.get(3, 3);
  const [first, last] = [kept[0], kept[kept.length - 1]].map(({ along }) => (along - middleAlong) / radiusPx);
  const half = (last - first) / 2;
  const drift = (-2 * (c + (3 * d * (first + last)) / 2) * (last - first)) / b;
  return {
    divisionPx: radiusPx / perRadius,
    relativeStandardUncertainty: Math.hypot(Math.sqrt(variance) / perRadius, MODEL_ERROR, TILT_ERROR * drift),
    residualPx: deviationOf(kept, solved, place),
    drift,
    bulge: (-3 * d * half * half) / b,
    kept,
  };
}
