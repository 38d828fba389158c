import { badArgument, type Field, type Square } from '@veligrid/model';
import type { Raster } from '../raster.js';
import { expectedLines, median, type SeenLine } from './expected-lines.js';
import { fitGeometry, meanMiss, type FittedGeometry, type PictureFrame } from './fit-geometry.js';
import { meanPitchesPerPx, type GridGeometry } from './grid-geometry.js';
import { linePlaces } from './line-places.js';
import { numberLines } from './number-lines.js';
import { ruledSquares, type RuledLines } from './squares.js';
import { traceLines } from './trace-lines.js';
import { workingPlane, type WorkingPlane } from './working-plane.js';

/** Kinds of ruled cell; `none` stands for a plain slide. */
export type CellKind = 'sedgwick-rafter' | 'haemocytometer' | 'none';

/**
 * Distance of neighbouring lines by kind of cell, micrometres. A Sedgwick-Rafter cell is ruled in 1 mm squares. An improved Neubauer
 * haemocytometer is ruled in 1 mm squares, the corner ones divided in 0.25 mm: that is taken here (common practice, no source).
 */
const CELL_PITCH_UM: Readonly<Record<Exclude<CellKind, 'none'>, number>> = {
  'sedgwick-rafter': 1000,
  haemocytometer: 250,
};

export interface FindGridOptions {
  /** Kind of cell; `none` looks for no grid. Default `sedgwick-rafter`. */
  readonly cell?: CellKind;
  /** Distance of neighbouring lines in micrometres, above 0. Default by `cell`. */
  readonly pitchUm?: number;
  /** Scales that are possible, micrometres per pixel: lines closer or farther apart are no grid. Default 0.15 to 8. */
  readonly umPerPxRange?: readonly [number, number];
  /** Whether squares may be longer one way than the other, by some per cent. Default false. */
  readonly unequal?: boolean;
}

/** The ruled lines of a counting cell as seen in a photo. Plain data: it can be sent to another thread. */
export interface GridFit extends RuledLines {
  readonly found: true;
  /** Assumed distance of neighbouring lines, micrometres. */
  readonly pitchUm: number;
  /** Distance of neighbouring lines, mean over the picture, pixels. */
  readonly pitchPx: number;
  /** `pitchUm` over `pitchPx`. */
  readonly umPerPx: number;
  /** Standard uncertainty of the pitch over the pitch, from the fit alone: that of the ruling itself is not in it. */
  readonly relativeStandardUncertainty: number;
  /** Direction of the first axis, degrees clockwise from the picture's x axis, -45..45. */
  readonly rotationDeg: number;
  /** Root mean square distance of line points from the fit, pixels. */
  readonly residualRmsPx: number;
  /** Root mean square of the lines' distances from even spacing in their own family, pixels. */
  readonly lineResidualPx: number;
  /** Pitch across the second axis over that across the first; null unless two lines of each family are in sight. */
  readonly pitchRatio: number | null;
  /** Whole squares between lines seen, row by row. */
  readonly squares: readonly Square[];
}

/** No grid, and why. */
export interface NoGrid {
  readonly found: false;
  /** One sentence for people. */
  readonly reason: string;
}

/** Least share of strips that must show a line. */
const LEAST_SUPPORT = 0.55;
/** Least sum over all lines of what their support is above a half: two sure lines, or more that are less sure. */
const LEAST_EVIDENCE = 0.6;
/** With no more than two parallel lines the scale must lie here: a slide is seldom photographed otherwise, micrometres per pixel. */
const USUAL_UM_PER_PX: readonly [number, number] = [0.3, 4.5];
/** Lines farther from their place than this are dropped, pitches. */
const MOST_MISS = 0.06;
/** A fit with a larger residual is refused, share of the pitch. */
const MOST_RESIDUAL = 0.01;
/** Least share of line points near their line. */
const LEAST_KEPT = 0.6;
/** The lines found may be every second or third one only. */
const FINER = [2, 3];

const none = (reason: string): NoGrid => ({ found: false, reason });
const NO_FIT = 'The lines in sight do not fit a grid.';

/**
 * Finds the ruled lines of a counting cell: long straight lines in two families at right angles, numbered, and fitted together by least
 * squares with tilt and barrel allowed for.
 *
 * @param raster upright picture
 * @param field usable part; what lies outside is not looked at
 * @returns the grid, or the reason why there is none; with fewer than two parallel lines there is no pitch and so no grid
 * @throws VeligridError when an option is out of range
 */
export function findGrid(raster: Raster, field: Field, options: FindGridOptions = {}): GridFit | NoGrid {
  const { cell = 'sedgwick-rafter', umPerPxRange = [0.15, 8], unequal = false } = options;
  if (cell === 'none') return none('No ruled cell was asked for.');
  const { pitchUm = CELL_PITCH_UM[cell] } = options;
  if (!(pitchUm > 0 && pitchUm < Infinity)) throw badArgument('pitchUm', 'a number above 0', pitchUm);
  if (!(umPerPxRange[0] > 0 && umPerPxRange[1] > umPerPxRange[0])) {
    throw badArgument('umPerPxRange', 'two rising numbers above 0', umPerPxRange.join(', '));
  }
  const plane = workingPlane(raster, field);
  const range = { leastPx: pitchUm / umPerPxRange[1], mostPx: pitchUm / umPerPxRange[0] };
  const lines = fitLines(plane, { width: raster.width, height: raster.height, factor: plane.factor, unequal }, range);
  if ('found' in lines) return lines;
  const grid = describe(lines, { pitchUm, raster, field });
  const few = Math.max(grid.linesU.length, grid.linesV.length) === 2;
  const usual = grid.umPerPx >= USUAL_UM_PER_PX[0] && grid.umPerPx <= USUAL_UM_PER_PX[1];
  return few && !usual ? none('Only two parallel lines are in sight, and not at a usual distance.') : grid;
}

interface Fitted {
  readonly fit: FittedGeometry;
  readonly lines: readonly SeenLine[];
}

function fitLines(
  plane: WorkingPlane,
  frame: PictureFrame,
  range: { readonly leastPx: number; readonly mostPx: number },
): Fitted | NoGrid {
  const lines = traceLines(plane).filter((line) => line.support >= LEAST_SUPPORT);
  if (lines.length < 2) return none('Fewer than two ruled lines are in sight.');
  const numbered = numberLines(lines, range);
  if (numbered === null) return none('No two parallel ruled lines are a plausible distance apart.');
  const { rotation, pitchPx } = numbered;
  const start = { a: Math.cos(rotation) / pitchPx, b: Math.sin(rotation) / pitchPx };
  let seen: SeenLine[] = numbered.members.map((member) => ({ ...member, points: member.line.points }));
  let fit = fitGeometry(seen, start, frame);
  if (fit === null) return none(NO_FIT);
  seen = keepFitting(fit.geometry, seen);
  let parts = 1;
  for (const finer of FINER) {
    const between = linesBetween(plane, fit.geometry, seen, finer);
    if (between.length * 2 < seen.length || pitchPx / finer < range.leastPx) continue;
    seen = [...seen, ...between].map((line) => ({ ...line, number: Math.round(line.number * finer) }));
    parts = finer;
    break;
  }
  const finerStart = { a: start.a * parts, b: start.b * parts };
  if (parts > 1) fit = fitGeometry(seen, finerStart, frame);
  if (fit === null) return none(NO_FIT);
  seen = [...seen, ...expectedLines(plane, fit.geometry, seen)];
  fit = fitGeometry(seen, finerStart, frame);
  if (fit === null) return none(NO_FIT);
  seen = keepFitting(fit.geometry, seen);
  const problem = refusal(fit, seen, pitchPx / parts);
  return problem === null ? { fit, lines: seen } : none(problem);
}

/** Lines at whole parts of a pitch, where the grid found leaves out every second or third line. */
function linesBetween(
  plane: WorkingPlane,
  geometry: GridGeometry,
  seen: readonly SeenLine[],
  parts: number,
): SeenLine[] {
  const between: SeenLine[] = [];
  for (let part = 1; part < parts; part++) {
    const found = expectedLines(plane, geometry, seen, part / parts);
    between.push(...found.filter(({ line }) => line.support >= LEAST_SUPPORT));
  }
  return between;
}

const keepFitting = (geometry: GridGeometry, lines: readonly SeenLine[]): SeenLine[] =>
  lines.filter((line) => meanMiss(geometry, line) <= MOST_MISS);

function refusal(fit: FittedGeometry, lines: readonly SeenLine[], pitchPx: number): string | null {
  const ofFirst = lines.filter((line) => line.first).length;
  if (Math.max(ofFirst, lines.length - ofFirst) < 2) {
    return 'Fewer than two parallel ruled lines are in sight, so there is no pitch.';
  }
  const poor = fit.residualRmsPx > MOST_RESIDUAL * pitchPx || fit.keptShare < LEAST_KEPT;
  const evidence = lines.reduce((sum, { line }) => sum + line.support - 0.5, 0);
  return poor || evidence < LEAST_EVIDENCE ? NO_FIT : null;
}

function describe(
  fitted: Fitted,
  picture: { readonly pitchUm: number; readonly raster: Raster; readonly field: Field },
): GridFit {
  const { fit, lines } = fitted;
  const { pitchUm, raster, field } = picture;
  const { geometry, residualRmsPx, relativeStandardUncertainty } = fit;
  const numbersOf = (first: boolean): number[] =>
    lines
      .filter((line) => line.first === first)
      .map((line) => line.number)
      .sort((a, b) => a - b);
  const ruled = { geometry, linesU: numbersOf(true), linesV: numbersOf(false) };
  const pitchPx = 1 / meanPitchesPerPx(geometry, raster.width, raster.height);
  return {
    found: true,
    pitchUm,
    pitchPx,
    umPerPx: pitchUm / pitchPx,
    relativeStandardUncertainty,
    rotationDeg: (Math.atan2(geometry.b, geometry.a) * 180) / Math.PI,
    residualRmsPx,
    ...linePlaces(geometry, lines, pitchPx),
    ...ruled,
    lineHalfWidthPx: median(lines.map(({ line }) => line.halfWidthPx)),
    squares: ruledSquares(ruled, raster, field),
  };
}
