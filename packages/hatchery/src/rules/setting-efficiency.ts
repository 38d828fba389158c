import { meanLimits, ratioLimits, type Level, type Limits } from '@veligrid/estimation';
import { badArgument } from '@veligrid/model';
import { figure, numberOf, type Figure, type FigureBook } from '../presets/figure-book.js';
import { checkSome } from './amount.js';

/** A set of the past: larvae put to set, and the spat counted afterwards. */
export interface PastSet {
  readonly larvae: Limits;
  readonly spat: Limits;
}

/** Spat over larvae put to set. */
export interface SettingEfficiency {
  readonly share: Limits;
  readonly basis: 'given' | 'own sets' | 'preset';
  readonly figures: readonly Figure[];
}

/**
 * Efficiency from own sets: of one the ratio with its limits; of several the middle on a log scale with limits of the
 * next set, exp(mean +/- t s sqrt(1 + 1/n)): the middle of past sets is known better than what comes next.
 */
function ofOwnSets(sets: readonly PastSet[], level: Level): Limits {
  for (const [i, { larvae, spat }] of sets.entries()) {
    checkSome(`ownSets[${i}].larvae`, larvae);
    checkSome(`ownSets[${i}].spat`, spat);
  }
  const [only] = sets;
  if (only === undefined) throw badArgument('ownSets', 'a list of one or more', 'none');
  if (sets.length === 1) return ratioLimits(only.spat, only.larvae);
  const logs = sets.map(({ larvae, spat }) => Math.log(spat.estimate / larvae.estimate));
  const middle = meanLimits(logs, level);
  if (middle === null) return ratioLimits(only.spat, only.larvae);
  // From the limits of the mean to those of a further one: SE x sqrt(n + 1).
  const h = (middle.high - middle.estimate) * Math.sqrt(sets.length + 1);
  return {
    estimate: Math.exp(middle.estimate),
    low: Math.exp(middle.estimate - h),
    high: Math.exp(middle.estimate + h),
  };
}

/** The presets low, usual and high. */
function ofPreset(book: FigureBook): SettingEfficiency {
  const figures = ['usual', 'low', 'high'].map((name) => figure(book, `setting.efficiency.${name}`));
  const [estimate = 0, low = 0, high = 0] = figures.map(numberOf);
  return { share: { estimate, low, high }, basis: 'preset', figures };
}

/**
 * Setting efficiency as given, from own sets, or the preset with its wide limits. High limits of own sets are not cut at 1:
 * they then say that the counts are poor.
 *
 * @param book for `setting.efficiency.low`, `.usual` and `.high`
 */
export function settingEfficiency(
  given: Limits | undefined,
  ownSets: readonly PastSet[] | undefined,
  level: Level,
  book: FigureBook,
): SettingEfficiency {
  if (given) {
    checkSome('efficiency', given);
    return { share: given, basis: 'given', figures: [] };
  }
  if (ownSets) return { share: ofOwnSets(ownSets, level), basis: 'own sets', figures: [] };
  return ofPreset(book);
}
