import type { Raster } from '../raster.js';
import type { RulerLine } from './follow-lines.js';
import { findPeriod, levelled } from './period.js';
import { bandProfile, frameValue, type RulerFrame } from './ruler-band.js';

/** How far across line ends are looked for, divisions and pixels at most. */
const REACH_DIVISIONS = 20;
const REACH_PX = 420;
/** A row shows a line when it is at least so dark as this share of what all lines are in the middle. */
const SHOWING = 0.4;
/** So many rows may be hidden between two that show the lines, pixels: a line along the ruler. */
const HIDDEN_ROWS = 4;
/**
 * Lines half-way between may be this dark, as a share of the lines; darker ones that are no chance make the division uncertain. Where
 * lines of five and ten are longer as they should be, half the division is no question.
 */
const MOST_BETWEEN = 0.08;
const MOST_BETWEEN_TENS = 0.3;
/** So many standard errors are no chance. */
const NO_CHANCE = 4;
/** Rows in one mean when finer lines are looked for, how many such means at most, and their length, pixels. */
const FINER_ROWS = 4;
const MOST_FINER = 24;
const FINER_RUN = 1200;
/** A period shorter than this share of the division, this regular, is one of finer lines. */
const FINER = 0.7;
const FINER_CORRELATION = 0.5;
/** A line of ten stands out from the others by this factor in length, one of five by the smaller one. */
const TEN_FACTOR = 1.2;
const FIVE_FACTOR = 1.12;
/** All other lines are alike within this share, and this many pixels. */
const ALIKE = 0.15;
const ALIKE_PX = 2;

/** Which lines of a ruler are longer: every tenth and, less so, every fifth; every fifth alike; none; or no rule that is known. */
export type LinePattern = 'tens' | 'fives' | 'plain' | 'unclear';

/** What the lengths of the lines say. */
export interface LineMarks {
  readonly pattern: LinePattern;
  /** A line runs along the ruler through its division lines. */
  readonly crossed: boolean;
  /** Other lines stand between those taken: the division taken is twice the true one, or five times. */
  readonly between: boolean;
  /** First and last row of the lines by number modulo 10, pixels across. */
  readonly extents: readonly (readonly [number, number])[];
}

const median = (values: readonly number[]): number => [...values].sort((a, b) => a - b)[values.length >> 1] ?? 0;
const modulo = (value: number, by: number): number => ((value % by) + by) % by;

/** How much darker (of dark lines) a place is than the places a part of a division to both sides. */
interface Look {
  readonly raster: Raster;
  readonly frame: RulerFrame;
  readonly divisionPx: number;
  readonly sign: 1 | -1;
}

function contrast({ raster, frame, divisionPx, sign }: Look, along: number, across: number, part: number): number {
  const value = (place: number): number => frameValue(raster, frame, place, across);
  const side = part * divisionPx;
  return sign * ((value(along - side) + value(along + side)) / 2 - value(along));
}

/**
 * Measures how long the lines are and what stands between them, class by class of their number modulo 10, as medians over the class.
 *
 * @param lines lines found
 * @param rows rows that all lines cross, pixels across
 */
export function lineMarks(
  look: Omit<Look, 'sign'> & { readonly dark: boolean },
  lines: readonly RulerLine[],
  rows: readonly number[],
): LineMarks {
  const view: Look = { ...look, sign: look.dark ? 1 : -1 };
  const classes: RulerLine[][] = Array.from({ length: 10 }, () => []);
  for (const line of lines) classes[modulo(line.number, 10)].push(line);
  const usual = median(lines.map(({ along }) => meanContrast(view, along, rows, 0.5)));
  const middle = rows[rows.length >> 1] ?? 0;
  const extents = classes.map((members) => extentOf(view, members, { middle, least: SHOWING * usual }));
  const complete = classes.every((members) => members.length > 0);
  const lengths = extents.map(([low, high]) => high - low + 1);
  const pattern = complete ? patternOf(lengths) : 'unclear';
  const mostBetween = pattern === 'tens' ? MOST_BETWEEN_TENS : MOST_BETWEEN;
  return {
    pattern,
    crossed: isCrossed(view, lines, { rows, usual }),
    between: isHalfWay(view, lines, { rows, mostBetween }) || hasFinerLines(view, lines, extents),
    extents,
  };
}

/** Mean over rows of how much darker a place is than the places a part of a division to both sides. */
function meanContrast(look: Look, along: number, rows: readonly number[], part: number): number {
  return rows.reduce((sum, row) => sum + contrast(look, along, row, part), 0) / rows.length;
}

/** Whether lines stand half-way between the lines. */
function isHalfWay(
  look: Look,
  lines: readonly RulerLine[],
  { rows, mostBetween }: { readonly rows: readonly number[]; readonly mostBetween: number },
): boolean {
  const at = (offset: number): number[] =>
    lines.map(({ along }) => meanContrast(look, along + offset * look.divisionPx, rows, 0.25));
  const between = at(0.5);
  const middle = median(between);
  const spread = 1.4826 * median(between.map((value) => Math.abs(value - middle)));
  const error = (1.25 * spread) / Math.sqrt(lines.length);
  return middle > mostBetween * median(at(0)) && middle > NO_CHANCE * error;
}

function extentOf(
  look: Look,
  members: readonly RulerLine[],
  from: { readonly middle: number; readonly least: number },
): [number, number] {
  const reach = Math.min(REACH_PX, REACH_DIVISIONS * look.divisionPx);
  const shows = (across: number): boolean =>
    median(members.map(({ along }) => contrast(look, along, across, 0.5))) >= from.least;
  const edge = (step: 1 | -1): number => {
    let last = from.middle;
    for (let away = 0; away <= reach && Math.abs(from.middle + step * away - last) <= HIDDEN_ROWS; away++) {
      if (shows(from.middle + step * away)) last = from.middle + step * away;
    }
    return last;
  };
  return [edge(-1), edge(1)];
}

/** Whether somewhere along their length a shorter period shows, as when only every fifth line, which is longer, was followed. */
function hasFinerLines(
  { raster, frame, divisionPx }: Look,
  lines: readonly RulerLine[],
  extents: readonly (readonly [number, number])[],
): boolean {
  const low = median(extents.map(([first]) => first));
  const high = median(extents.map(([, last]) => last));
  const from = Math.round(lines[0].along);
  const to = Math.max(from + 8, Math.min(from + FINER_RUN, Math.round(lines[lines.length - 1].along)));
  const step = Math.max(FINER_ROWS, (high - low + 1) / MOST_FINER);
  for (let row = low; row + FINER_ROWS <= high + 1; row += step) {
    const rows = Array.from({ length: FINER_ROWS }, (_, k) => row + k);
    const run = levelled(bandProfile(raster, frame, { from, to, rows }), divisionPx);
    const period = findPeriod(run, Math.ceil(1.5 * divisionPx));
    if (period !== null && period.length < FINER * divisionPx && period.correlation > FINER_CORRELATION) return true;
  }
  return false;
}

/** @param lengths of the lines by number modulo 10, pixels */
function patternOf(lengths: readonly number[]): LinePattern {
  const ten = lengths.indexOf(Math.max(...lengths));
  const five = (ten + 5) % 10;
  const others = lengths.filter((_, k) => k !== ten && k !== five);
  const usual = median(others);
  const spread = Math.max(ALIKE * usual, ALIKE_PX);
  const strays = others.filter((length) => Math.abs(length - usual) > spread).length;
  // one class may be spoilt by a larva that lies across
  if (strays > 1) return 'unclear';
  const longest = Math.max(...others.filter((length) => Math.abs(length - usual) <= spread));
  const fiveLonger = lengths[five] >= FIVE_FACTOR * usual && lengths[five] > longest;
  const tenLonger = lengths[ten] >= TEN_FACTOR * usual && lengths[ten] > longest;
  if (tenLonger && fiveLonger) return lengths[ten] >= 1.08 * lengths[five] + 1 ? 'tens' : 'fives';
  return tenLonger || strays > 0 ? 'unclear' : 'plain';
}

/** Whether a line runs along the ruler: half-way between division lines some row is much darker than rows beyond it. */
function isCrossed(
  look: Look,
  lines: readonly RulerLine[],
  from: { readonly rows: readonly number[]; readonly usual: number },
): boolean {
  const { raster, frame, divisionPx, sign } = look;
  const low = Math.floor(Math.min(...from.rows)) - 4;
  const high = Math.ceil(Math.max(...from.rows)) + 4;
  const gaps = lines.slice(0, -1).filter((line, k) => lines[k + 1].number === line.number + 1);
  const away = 4;
  for (let row = low; row <= high; row++) {
    const dips = gaps.map(({ along }) => {
      const value = (across: number): number => frameValue(raster, frame, along + divisionPx / 2, across);
      return Math.min(sign * (value(row - away) - value(row)), sign * (value(row + away) - value(row)));
    });
    if (median(dips) > SHOWING * from.usual) return true;
  }
  return false;
}
