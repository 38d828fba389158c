import type { Field } from '@veligrid/model';
import type { Raster } from '../raster.js';
import { aligned, leaning } from './align.js';
import { followLines, type RulerLine } from './follow-lines.js';
import { lineMarks, type LineMarks, type LinePattern } from './line-marks.js';
import { fitDivision, type DivisionFit, type RulerPlace } from './fit-division.js';
import { rulerAxes, type RulerAxis } from './ruler-axes.js';
import { bandProfile, framePoint, spanInside, type RulerFrame } from './ruler-band.js';
import { rulerSeed, squareOn, type RulerSeed } from './ruler-seed.js';
import { textureMap } from './texture-map.js';

/** A row of division lines as seen in a photo. Plain data: it can be sent to another thread. */
export interface RulerFit {
  readonly found: true;
  /** Distance of neighbouring division lines, pixels, square to the lines. */
  readonly divisionPx: number;
  /** Standard uncertainty of `divisionPx` over it: that of the fit, and that the division may differ elsewhere by tilt and lens. */
  readonly relativeStandardUncertainty: number;
  /** Lines that the fit rests on, and how many between the first and the last are hidden or were left out. */
  readonly lines: number;
  readonly hiddenLines: number;
  /** Standard deviation of the lines from even spacing, pixels. */
  readonly residualPx: number;
  /** Relative change of the division from the first line to the last (tilt). */
  readonly drift: number;
  /** Relative difference of the division at both ends from that in the middle (lens). */
  readonly bulge: number;
  /** Direction across the lines, degrees clockwise from the picture's x axis, -90..90. */
  readonly directionDeg: number;
  readonly pattern: LinePattern;
  /** A line runs along the ruler through its division lines, as is usual in eyepieces. */
  readonly crossed: boolean;
  /** Both ends of each line that shows, pixels. */
  readonly linesPx: readonly (readonly [readonly [number, number], readonly [number, number]])[];
}

/** No ruler, and why. */
export interface NoRuler {
  readonly found: false;
  /** One sentence for people. */
  readonly reason: string;
}

/** How rulers are looked for. */
export interface FindRulerOptions {
  /** Somebody says that a ruler is there: fewer lines are enough. Default false. */
  readonly told?: boolean;
}

/** Rows of blocks looked at closely, at most. */
const MOST_AXES = 8;
/** Times that the direction is put right by both ends of what was followed. */
const ALIGNMENTS = 2;
/** Fewer lines in a row are found by chance on busy pictures; with somebody's word that a ruler is there less is enough. */
const LEAST_LINES = 12;
const LEAST_LINES_TOLD = 6;
/** Fewer than this share of the lines between the first and the last that show make no ruler at all. */
const LEAST_SHOWING = 0.5;
/**
 * What a ruler must hold to be taken: its least number of lines, the least share of those between the first and the last that show, and
 * the largest residual in divisions. Lines that are longer every five and ten tell that none is left out; without, more is asked.
 */
const LIMITS_MARKED = { lines: 10, showing: 0.6, residual: 0.12 };
const LIMITS_UNMARKED = { lines: 15, showing: 0.9, residual: 0.06 };
const LIMITS_TOLD = { lines: 4, showing: 0.9, residual: 0.06 };
/** A fit with larger residuals is refused, pixels. */
const MOST_RESIDUAL_PX = 1;
/** A division less certain than this is refused, relative standard uncertainty. */
const MOST_UNCERTAINTY = 0.012;
/** Two rulers whose divisions differ by more than this are two answers. */
const SAME_DIVISION = 0.02;
/** The division may change by this much along the ruler; more is no picture of a ruler through an ordinary lens. */
const MOST_CHANGE = 0.05;

const none = (reason: string): NoRuler => ({ found: false, reason });
const noneInSight = (lines: number): string =>
  `No row of ${String(lines)} or more evenly spaced division lines is in sight.`;

/** What became of one row of blocks. */
type Attempt =
  { readonly kind: 'ruler'; readonly ruler: RulerFit } | { readonly kind: 'refused'; readonly reason: string } | null;

/**
 * Finds a ruler: a row of short parallel lines, evenly spaced, at any angle, as on a stage micrometer or in an eyepiece. Numbers on it are
 * ignored, and what lies across it may hide some of its lines. The division is fitted by least squares over all lines, and checked: no line
 * may stand half-way between those taken, and most of those expected must show.
 *
 * @param raster upright picture
 * @param field what lies outside is not looked at
 * @returns the ruler, or the reason why there is none that can be relied on
 */
export function findRuler(raster: Raster, field: Field, options: FindRulerOptions = {}): RulerFit | NoRuler {
  const { told = false } = options;
  const view: View = { raster, field, told, least: told ? LEAST_LINES_TOLD : LEAST_LINES };
  const map = textureMap(raster, field);
  const rulers: RulerFit[] = [];
  let refusal: string | null = null;
  for (const axis of rulerAxes(map, MOST_AXES)) {
    const attempt = tryAxis(view, axis, map.block);
    if (attempt?.kind === 'ruler') rulers.push(attempt.ruler);
    else refusal ??= attempt?.reason ?? null;
  }
  if (rulers.length === 0) return none(refusal ?? noneInSight(view.least));
  const best = rulers.reduce((one, other) => (other.lines > one.lines ? other : one));
  const apart = rulers.find(({ divisionPx }) => Math.abs(divisionPx / best.divisionPx - 1) > SAME_DIVISION);
  if (apart !== undefined) {
    const sizes = [best, apart].map(({ divisionPx }) => `${divisionPx.toPrecision(4)} px`).join(' and ');
    return none(`Two rulers with different divisions are in sight (${sizes}), so it is not clear which one is meant.`);
  }
  return best;
}

/** The picture, and what is asked of a ruler in it. */
interface View {
  readonly raster: Raster;
  readonly field: Field;
  readonly told: boolean;
  /** Least number of lines followed. */
  readonly least: number;
}

function tryAxis(view: View, axis: RulerAxis, block: number): Attempt {
  const { raster } = view;
  const seed = rulerSeed(raster, axis, block);
  if (seed === null) return null;
  const dark = isDark(raster, seed);
  // the lines' own lean is the better direction but for rulers on which something lies
  let ruler = [squareOn(seed), seed].reduce((one, other) =>
    linesOf(view, other, dark).length > linesOf(view, one, dark).length ? other : one,
  );
  for (let turn = 0; turn < ALIGNMENTS; turn++) {
    const lines = linesOf(view, ruler, dark);
    if (lines.length < view.least) return null;
    const leant = leaning(raster, ruler.frame, lines, ruler.rows);
    const frame = aligned(raster, leant, lines, Math.max(...ruler.rows));
    const factor = Math.cos(Math.atan(leant.lean)) / Math.cos(Math.atan(frame.lean));
    ruler = { ...ruler, frame, divisionPx: ruler.divisionPx * factor };
  }
  const answer = judge(view, ruler, dark);
  if (answer?.kind === 'ruler' && answer.ruler.pattern === 'tens') return answer;
  // lines as broad as their gaps: which of the two are the lines is told by their lengths
  const other = judge(view, ruler, !dark);
  return other?.kind === 'ruler' && other.ruler.pattern === 'tens' ? other : answer;
}

function judge(view: View, ruler: RulerSeed, dark: boolean): Attempt {
  const { raster, field } = view;
  const lines = linesOf(view, ruler, dark);
  if (lines.length < view.least) return null;
  // beyond the last line the ground is lighter, which draws the place of that line outwards when lines are blurred
  const fit = fitDivision(lines.slice(1, -1), placeIn(raster, field, ruler.frame));
  // chance lines on a busy picture stop here, before they cost time
  if (fit.kept.length < LEAST_SHOWING * spanOf(lines)) return null;
  const marks = lineMarks({ raster, ...ruler, dark }, fit.kept, ruler.rows);
  const reason = refusalOf(fit, spanOf(lines.slice(1, -1)), limitsFor(marks, view.told)) ?? doubtOf(fit, marks);
  if (reason !== null) return { kind: 'refused', reason };
  return { kind: 'ruler', ruler: describe(ruler, lines, fit, marks) };
}

/** Number of lines from the first to the last, hidden ones too. */
const spanOf = (lines: readonly RulerLine[]): number => lines[lines.length - 1].number - lines[0].number + 1;

function linesOf({ raster, field }: View, ruler: RulerSeed, dark: boolean): RulerLine[] {
  const span = spanInside(raster, field, ruler.frame);
  if (span.to - span.from < 3 * ruler.divisionPx) return [];
  const values = bandProfile(raster, ruler.frame, { ...span, rows: ruler.rows });
  return followLines({ from: span.from, values }, 0, ruler.divisionPx, dark);
}

function placeIn({ width, height }: Raster, field: Field, { x, y, angle }: RulerFrame): RulerPlace {
  const round = field.kind === 'round';
  const dx = (round ? field.centrePx[0] : (width - 1) / 2) - x;
  const dy = (round ? field.centrePx[1] : (height - 1) / 2) - y;
  return {
    middleAlong: dx * Math.cos(angle) + dy * Math.sin(angle),
    offAxisPx: Math.abs(dy * Math.cos(angle) - dx * Math.sin(angle)),
    radiusPx: Math.hypot(width, height) / 2,
    meanSquarePx2: round ? field.radiusPx ** 2 / 2 : (width ** 2 + height ** 2) / 12,
  };
}

/** Whether what stands out of the stretch about the origin is darker than the ground: the lines are narrower than their gaps. */
function isDark(raster: Raster, { frame, rows, half }: RulerSeed): boolean {
  const values = bandProfile(raster, frame, { from: -Math.round(half), to: Math.round(half), rows });
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return values.reduce((sum, value) => sum + (value - mean) ** 3, 0) <= 0;
}

function limitsFor(marks: LineMarks, told: boolean): typeof LIMITS_MARKED {
  if (marks.pattern === 'tens') return LIMITS_MARKED;
  return told ? LIMITS_TOLD : LIMITS_UNMARKED;
}

/** Why too little of the ruler shows, or its lines stray too much. */
function refusalOf(fit: DivisionFit, expected: number, limits: typeof LIMITS_MARKED): string | null {
  const { kept, residualPx, divisionPx } = fit;
  if (kept.length < limits.lines || kept.length < limits.showing * expected) {
    return `Only ${String(kept.length)} of ${String(expected)} division lines can be seen well enough.`;
  }
  if (residualPx > Math.min(MOST_RESIDUAL_PX, limits.residual * divisionPx)) {
    return `The division lines stray ${residualPx.toPrecision(2)} px from even spacing, which is too much for a scale.`;
  }
  return null;
}

/** Why a row of lines that is regular enough still gives no division to rely on. */
function doubtOf(fit: DivisionFit, marks: LineMarks): string | null {
  if (marks.between) return 'Lines stand half-way between those that were followed, so the division is not certain.';
  if (Math.abs(fit.drift) > MOST_CHANGE || Math.abs(fit.bulge) > MOST_CHANGE) {
    return 'The division changes too much along the ruler: photograph it square on, in the middle of the picture.';
  }
  if (fit.relativeStandardUncertainty > MOST_UNCERTAINTY) {
    const percent = (100 * fit.relativeStandardUncertainty).toPrecision(2);
    return `The division is certain to ${percent} % only: let the ruler fill more of the picture.`;
  }
  return null;
}

function describe(ruler: RulerSeed, lines: readonly RulerLine[], fit: DivisionFit, marks: LineMarks): RulerFit {
  const { kept } = fit;
  const { frame } = ruler;
  const lean = Math.atan(frame.lean);
  const degrees = ((frame.angle - lean) * 180) / Math.PI;
  return {
    found: true,
    divisionPx: fit.divisionPx * Math.cos(lean),
    relativeStandardUncertainty: fit.relativeStandardUncertainty,
    lines: kept.length,
    hiddenLines: kept[kept.length - 1].number - kept[0].number + 1 - kept.length,
    residualPx: fit.residualPx,
    drift: fit.drift,
    bulge: fit.bulge,
    directionDeg: degrees > 90 ? degrees - 180 : degrees <= -90 ? degrees + 180 : degrees,
    pattern: marks.pattern,
    crossed: marks.crossed,
    linesPx: lines.map(({ number, along }) => {
      const [low, high] = marks.extents[((number % 10) + 10) % 10];
      return [framePoint(frame, along, low), framePoint(frame, along, high)] as const;
    }),
  };
}
