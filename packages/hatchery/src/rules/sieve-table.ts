import { badArgument } from '@veligrid/model';
import { twoSided, type Level, type Limits } from '@veligrid/estimation';
import { fitLogistic } from './fit-logistic.js';

/** Larvae held on one screen of a stack, with the lengths of some of them. */
export interface SievedClass {
  /** Opening of the screen that held them; 0 for those that passed every screen. */
  readonly apertureUm: number;
  /** How many there were, above 0. */
  readonly number: number;
  /** Lengths of a random sample of them, micrometres. */
  readonly lengthsUm: readonly number[];
}

/** What one screen of the house keeps: 1/(1 + exp(-2 ln 3 (L - L50)/SR)) of larvae of length L. */
export interface SieveRow {
  readonly apertureUm: number;
  /** Length of which half is kept. */
  readonly l50Um: Limits;
  /** From a quarter kept to three quarters kept. */
  readonly selectionRangeUm: number;
  /** Lengths that it was fitted to, kept and passed. */
  readonly kept: number;
  readonly passed: number;
  /** Kept and passed lengths do not overlap: half-way between, and no limits can be given beyond the gap. */
  readonly separate: boolean;
}

/** Fewest lengths on either side of a screen. */
const FEWEST = 5;
const LN9 = 2 * Math.log(3);

interface Side {
  readonly lengths: readonly number[];
  readonly weights: readonly number[];
}

/** Lengths with the number of larvae each stands for. */
function sideOf(classes: readonly SievedClass[]): Side {
  return {
    lengths: classes.flatMap(({ lengthsUm }) => lengthsUm),
    weights: classes.flatMap(({ lengthsUm, number }) => lengthsUm.map(() => number / lengthsUm.length)),
  };
}

function rowOf(apertureUm: number, kept: Side, passed: Side, level: Level): SieveRow | null {
  const numbers = { apertureUm, kept: kept.lengths.length, passed: passed.lengths.length };
  if (numbers.kept < FEWEST || numbers.passed < FEWEST) return null;
  const [least, most] = [Math.min(...kept.lengths), Math.max(...passed.lengths)];
  if (least >= most) {
    const l50Um = { estimate: (least + most) / 2, low: most, high: least };
    return { ...numbers, l50Um, selectionRangeUm: Math.max(1, least - most), separate: true };
  }
  const n = numbers.kept + numbers.passed;
  const weights = [...kept.weights, ...passed.weights];
  const all = weights.reduce((a, b) => a + b, 0);
  const fit = fitLogistic(
    [...kept.lengths, ...passed.lengths],
    [...kept.lengths.map(() => 1), ...passed.lengths.map(() => 0)],
    // Scaled to the number measured: what was not measured adds no knowledge.
    weights.map((weight) => (weight * n) / all),
  );
  if (fit === null || fit.slope <= 0) return null;
  const h = twoSided(level) * fit.halfWaySe;
  return {
    ...numbers,
    l50Um: { estimate: fit.halfWay, low: Math.max(0, fit.halfWay - h), high: fit.halfWay + h },
    selectionRangeUm: LN9 / fit.slope,
    separate: false,
  };
}

/**
 * Sieve table of a house from its own screen-class counts: for every screen a logistic curve of retention by length,
 * fitted by maximum likelihood to the lengths held on it and those that passed it; each length stands for the larvae of
 * its class (weights), as in studies of how nets select (Millar & Fryer 1999, Reviews in Fish Biology and Fisheries 9:89,
 * from memory). Classes held on larger screens never came to it and are left out.
 *
 * @param classes of one stack of screens, those that passed all as aperture 0
 * @returns rows from small to large; screens with fewer than 5 lengths on either side, or that keep the smaller, are left out
 */
export function sieveTable(classes: readonly SievedClass[], level: Level = 0.95): SieveRow[] {
  for (const { apertureUm, number, lengthsUm } of classes) {
    if (!(number > 0)) throw badArgument(`the number on ${apertureUm} um`, 'a number above 0', number);
    const bad = lengthsUm.find((length) => !(length > 0 && length < 1e6));
    if (bad !== undefined) throw badArgument('a length', 'a number of micrometres above 0', bad);
  }
  const measured = classes.filter(({ lengthsUm }) => lengthsUm.length > 0);
  const screens = measured.map(({ apertureUm }) => apertureUm).filter((aperture) => aperture > 0);
  return [...new Set(screens)]
    .sort((a, b) => a - b)
    .map((aperture) =>
      rowOf(
        aperture,
        sideOf(measured.filter(({ apertureUm }) => apertureUm === aperture)),
        sideOf(measured.filter(({ apertureUm }) => apertureUm < aperture)),
        level,
      ),
    )
    .filter((row) => row !== null);
}
