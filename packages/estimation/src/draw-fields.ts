import { badArgument } from '@veligrid/model';
import { CELL_LAYOUTS, columnLetters, type RuledCell } from './ruled-cells.js';

/** What is photographed at one go: a square, or a strip one square high along the whole cell. */
export type FieldUnit = 'squares' | 'strips';

/** One field to photograph. */
export interface DrawnField {
  /** Number in the order of the way over the cell, `01` on. */
  readonly number: string;
  /** Column letter and row of a square, such as `Q7`; `row 7` for a strip. */
  readonly name: string;
  /** From 1; null for a strip, which has all columns. */
  readonly column: number | null;
  /** From 1. */
  readonly row: number;
  /** Photo of the field, to be filled in where it is not called after the field; else null. */
  readonly photo: string | null;
}

/** What was drawn: written as `fields.json`. */
export interface FieldPlan {
  readonly cell: RuledCell;
  readonly unit: FieldUnit;
  readonly seed: number;
  /** When it was drawn, ISO 8601. */
  readonly drawnAt: string;
  readonly fields: readonly DrawnField[];
}

/** What is asked for. */
export interface DrawFieldsOptions {
  readonly cell: RuledCell;
  /** Number of photos, 1 or more. */
  readonly photos: number;
  /** Whole number from 0 to 4294967295; the same seed gives the same fields. */
  readonly seed: number;
  /** Default `squares`. */
  readonly unit?: FieldUnit;
  /** Now, ISO 8601. */
  readonly drawnAt: string;
}

const LARGEST_SEED = 2 ** 32 - 1;

/** Whole numbers from 0 up to, not including, `below`, all equally likely (mulberry32, public domain; rejection). */
function wholeNumbers(seed: number): (below: number) => number {
  let state = seed;
  const next = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return (mixed ^ (mixed >>> 14)) >>> 0;
  };
  return (below) => {
    const fair = 2 ** 32 - (2 ** 32 % below);
    let value = next();
    while (value >= fair) value = next();
    return value % below;
  };
}

/** A few of the numbers from 0 to `all` - 1, each set of them equally likely (Fisher and Yates, stopped early). */
function sample(all: number, wanted: number, below: (limit: number) => number): number[] {
  const places = Array.from({ length: all }, (_, k) => k);
  return Array.from({ length: wanted }, (_, k) => {
    const other = k + below(all - k);
    const taken = places[other] ?? 0;
    places[other] = places[k] ?? 0;
    return taken;
  });
}

/**
 * Draws the fields to photograph, each as likely as any other and none twice, before anybody looks: where the eye picks
 * the fields, it picks what it came for.
 *
 * @returns fields in the order of a way to and fro over the cell, row by row
 * @throws VeligridError when more fields are wanted than there are
 */
export function drawFields({ cell, photos, seed, unit = 'squares', drawnAt }: DrawFieldsOptions): FieldPlan {
  const { columns, rows } = CELL_LAYOUTS[cell];
  const width = unit === 'squares' ? columns : 1;
  if (!(Number.isInteger(photos) && photos >= 1 && photos <= width * rows)) {
    throw badArgument('photos', `a whole number from 1 to ${String(width * rows)}, the ${unit} of the cell`, photos);
  }
  if (!(Number.isInteger(seed) && seed >= 0 && seed <= LARGEST_SEED)) {
    throw badArgument('seed', `a whole number from 0 to ${String(LARGEST_SEED)}`, seed);
  }
  const onTheWay = (place: number): number => {
    const [column, row] = [place % width, Math.floor(place / width)];
    return row * width + (row % 2 === 0 ? column : width - 1 - column);
  };
  const drawn = sample(width * rows, photos, wholeNumbers(seed)).sort((a, b) => onTheWay(a) - onTheWay(b));
  const digits = Math.max(2, String(photos).length);
  const fields = drawn.map((place, k): DrawnField => {
    const [column, row] = [place % width, Math.floor(place / width) + 1];
    const number = String(k + 1).padStart(digits, '0');
    if (unit === 'strips') return { number, name: `row ${String(row)}`, column: null, row, photo: null };
    return { number, name: `${columnLetters(column)}${String(row)}`, column: column + 1, row, photo: null };
  });
  return { cell, unit, seed, drawnAt, fields };
}
