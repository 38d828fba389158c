import { VeligridError } from '@veligrid/model';

/** What a figure may be: one number, a list of numbers, or points of a curve by rising first number. */
export type FigureValue = number | readonly number[] | readonly (readonly [number, number])[];

/** How well a figure is known. */
export const CONFIDENCES = ['read', 'read, second hand', 'from memory', 'chosen', 'own'] as const;

/** One figure of the trade with where it comes from. */
export interface Figure {
  /** Stable name, by which a hatchery overrides it. */
  readonly name: string;
  readonly value: FigureValue;
  readonly unit: string;
  /** What it is, in words, where the preset says so. */
  readonly about?: string;
  readonly source: string;
  /** `read` where the source was read, `from memory` where it was not, `chosen` by us, `own` of the hatchery. */
  readonly confidence: (typeof CONFIDENCES)[number];
  /** Name and version of the preset it stands in. */
  readonly preset: string;
  readonly version: string;
}

/** Figures by name. */
export type FigureBook = ReadonlyMap<string, Figure>;

/** One preset file, read and checked. */
export interface FigurePreset {
  readonly name: string;
  readonly title: string;
  readonly version: string;
  readonly figures: readonly Figure[];
}

/** Figures that a hatchery may add without there being one of that name before: its own algae and sieve table. */
const ADDABLE =
  /^(algae\.[a-z0-9-]+\.(organic-weight-pg|volume-um3|least-larva-um)|screens\.sieve-(half-kept|range)-um)$/;

const shape = (value: FigureValue): string =>
  typeof value === 'number' ? 'one number' : Array.isArray(value[0]) ? 'points' : 'a list of numbers';

function checkOverride(figure: Figure, before: Figure | undefined): void {
  const where = `${figure.name} in ${figure.preset}`;
  if (before === undefined && !ADDABLE.test(figure.name)) {
    throw new VeligridError(
      'bad-argument',
      `There is no figure ${where} to override. Write its name as in packages/hatchery/presets; only algae.NAME.organic-weight-pg, .volume-um3, .least-larva-um, screens.sieve-half-kept-um and screens.sieve-range-um may be new.`,
    );
  }
  if (before !== undefined && shape(before.value) !== shape(figure.value)) {
    throw new VeligridError(
      'bad-argument',
      `Figure ${where} has to be ${shape(before.value)}, as in ${before.preset}.`,
    );
  }
}

/**
 * Puts presets together; of a figure that stands in several the last wins.
 *
 * @param shipped presets that come with the program, the common one first
 * @param own the hatchery's own, which may override figures by name
 * @throws VeligridError `bad-argument` for an own figure of a name that is not known, or of another shape
 */
export function figureBook(shipped: readonly FigurePreset[], own: readonly FigurePreset[] = []): FigureBook {
  const book = new Map<string, Figure>(shipped.flatMap(({ figures }) => figures).map((one) => [one.name, one]));
  for (const figure of own.flatMap(({ figures }) => figures)) {
    checkOverride(figure, book.get(figure.name));
    book.set(figure.name, figure);
  }
  return book;
}

/** @throws VeligridError `bad-argument` when the book has no such figure */
export function figure(book: FigureBook, name: string): Figure {
  const found = book.get(name);
  if (found !== undefined) return found;
  const family = name.split('.')[0] ?? '';
  const known = [...book.keys()].filter((one) => one.startsWith(`${family}.`));
  throw new VeligridError(
    'bad-argument',
    `No preset has a figure ${name}. Known are ${known.length > 0 ? known.join(', ') : 'none of this family'}.`,
  );
}

const wrongShape = ({ name, preset }: Figure, wanted: string): VeligridError =>
  new VeligridError('bad-argument', `Figure ${name} of preset ${preset} has to be ${wanted}.`);

/** The one number of a figure. */
export function numberOf(one: Figure): number {
  if (typeof one.value !== 'number') throw wrongShape(one, 'one number');
  return one.value;
}

/** The list of numbers of a figure. */
export function listOf(one: Figure): readonly number[] {
  if (typeof one.value === 'number' || one.value.some((row) => typeof row !== 'number')) {
    throw wrongShape(one, 'a list of numbers');
  }
  return one.value as readonly number[];
}

/** The points of a figure. */
export function pointsOf(one: Figure): readonly (readonly [number, number])[] {
  if (typeof one.value === 'number' || one.value.some((row) => typeof row === 'number')) {
    throw wrongShape(one, 'points, each of two numbers');
  }
  return one.value as readonly (readonly [number, number])[];
}
