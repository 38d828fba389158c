import { badArgument } from '@veligrid/model';
import { Matrix, solve } from 'ml-matrix';
import { checkLevel, logLimits, twoSided, type Level, type Limits } from './limits.js';
import { sum } from './moments.js';
import { clopperPearson } from './proportions.js';

/** How many of a number that were tried turned out right. */
export interface Tried {
  readonly right: number;
  readonly of: number;
}

const shareOf = ({ right, of }: Tried): number => right / of;

function checkTried(name: string, { right, of }: Tried): void {
  if (!(of >= 1 && right >= 0 && right <= of))
    throw badArgument(name, 'right <= of, 1 or more tried', `${right} of ${of}`);
}

/**
 * True number behind finds: found x (part of finds that are right) / (part of animals that are found), log limits with
 * u^2 = (1-P)/(n P) + (1-R)/(n R). Both parts must come from random checks of slides like this one.
 */
export function correctedNumber(
  found: number,
  { rightFinds, foundAnimals }: { readonly rightFinds: Tried; readonly foundAnimals: Tried },
  level: Level = 0.95,
): Limits & { readonly relativeStandardUncertainty: number } {
  checkLevel(level);
  checkTried('rightFinds', rightFinds);
  checkTried('foundAnimals', foundAnimals);
  const parts = [rightFinds, foundAnimals];
  if (parts.some(({ right }) => right === 0)) throw badArgument('the checks', 'at least one right in each', 0);
  const u = Math.sqrt(sum(parts.map((part) => (1 - shareOf(part)) / part.right)));
  const estimate = (found * shareOf(rightFinds)) / shareOf(foundAnimals);
  return { ...logLimits(estimate, twoSided(level) * u), relativeStandardUncertainty: u };
}

/** How well a yes-or-no trait is told: known without error, or from so many tried. */
export type Reliability = { readonly known: number } | Tried;

const valueOf = (one: Reliability): number => ('known' in one ? one.known : shareOf(one));
/** Variance that stays because the reliability itself comes from a number tried. */
const spreadOf = (one: Reliability): number => ('known' in one ? 0 : (shareOf(one) * (1 - shareOf(one))) / one.of);
const clip = (x: number): number => Math.min(1, Math.max(0, x));

/** Moved towards a half, (x+1)/(n+2), as the limits of Lang and Reiczigel want it. */
const softened = (one: Reliability): Reliability => ('known' in one ? one : { right: one.right + 1, of: one.of + 2 });

/** Share of a trait corrected for how often it is told wrongly. */
export interface TrueShare extends Limits {
  /** Of the estimate before it is cut to 0..1. */
  readonly standardError: number;
}

/**
 * True share of a trait from the share that was called (Rogan and Gladen 1978): (p + Sp - 1)/(Se + Sp - 1). Limits of
 * Lang and Reiczigel 2014 (Preventive Veterinary Medicine 113:13) when both reliabilities come from trials; with known
 * ones those of Clopper and Pearson, carried over. Cut to 0..1.
 *
 * @param called how many were called positive of those scored
 * @param seen part of the positive that are called so (sensitivity)
 * @param spared part of the negative that are not (specificity)
 * @throws VeligridError `bad-argument` when both together are below 1.5: too unreliable to correct
 */
export function trueShare(
  called: Tried,
  { seen, spared }: { readonly seen: Reliability; readonly spared: Reliability },
  level: Level = 0.95,
): TrueShare {
  checkLevel(level);
  checkTried('called', called);
  const gain = valueOf(seen) + valueOf(spared) - 1;
  if (!(gain >= 0.5)) throw badArgument('seen and spared together', '1.5 or more', gain + 1);
  const correct = (p: number, s: Reliability, n: Reliability): number =>
    (p + valueOf(n) - 1) / (valueOf(s) + valueOf(n) - 1);
  const error = (p: number, of: number, s: Reliability, n: Reliability): number => {
    const share = correct(p, s, n);
    const v = (p * (1 - p)) / of + share ** 2 * spreadOf(s) + (1 - share) ** 2 * spreadOf(n);
    return Math.sqrt(v) / (valueOf(s) + valueOf(n) - 1);
  };
  const p = shareOf(called);
  const estimate = clip(correct(p, seen, spared));
  const standardError = error(p, called.of, seen, spared);
  if ('known' in seen || 'known' in spared) {
    const { low, high } = clopperPearson(called.right, called.of, level);
    return { estimate, low: clip(correct(low, seen, spared)), high: clip(correct(high, seen, spared)), standardError };
  }
  const z = twoSided(level);
  const of = called.of + z * z;
  const middle = (called.right + (z * z) / 2) / of;
  const [s, n] = [softened(seen), softened(spared)];
  const share = correct(middle, s, n);
  const shift = 2 * z * z * (share * spreadOf(s) - (1 - share) * spreadOf(n));
  const h = z * error(middle, of, s, n);
  return { estimate, low: clip(share + shift - h), high: clip(share + shift + h), standardError };
}

/**
 * True shares of stages from those called, by inverting how stages are confused; negative ones are cut to 0 and the rest
 * scaled to 1. No limits: draw slides anew for those.
 *
 * @param called shares as called, adding up to 1
 * @param confusion row by true stage: part called each stage; every row adds up to 1
 */
export function trueStages(called: readonly number[], confusion: readonly (readonly number[])[]): number[] {
  const n = called.length;
  const ones = [called, ...confusion].every((row) => Math.abs(sum(row) - 1) < 1e-6 && row.length === n);
  if (!ones || confusion.length !== n) {
    throw badArgument(
      'called and confusion',
      'as many rows as stages, each adding up to 1',
      `${confusion.length} rows`,
    );
  }
  const solved = solve(new Matrix(confusion.map((row) => [...row])).transpose(), Matrix.columnVector([...called]));
  const cut = solved.to1DArray().map((share) => Math.max(0, share));
  return cut.map((share) => share / sum(cut));
}
