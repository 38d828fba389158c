import { badArgument, type Warning } from '@veligrid/model';
import { histogramOf, type Histogram } from './histogram.js';
import { checkLevel, twoSided, type Level, type Limits } from './limits.js';
import { meanLimits, sdLimits } from './mean-limits.js';
import { sum } from './moments.js';
import { percentile, type Percentile } from './percentiles.js';
import { wilson } from './proportions.js';
import { screenShare, type ScreenShare } from './screen.js';
import type { SignedLengths } from './tally.js';
import { twoGroups, type TwoGroups } from './two-groups.js';
import { warningsIf } from './warnings.js';

/** What else is asked of lengths. */
export interface LengthOptions {
  readonly level?: Level;
  /** Share above this length. */
  readonly aboveUm?: number;
  /** Share that a screen of this aperture keeps. */
  readonly screenUm?: number;
  /** Heights in the order of the lengths; without them the length stands for the height. */
  readonly heightsUm?: readonly number[];
  /** Thickness over height as fitted by this hatchery; the preset otherwise. */
  readonly fittedThickness?: number;
}

/** Lengths in figures, in micrometres. */
export interface LengthEstimate {
  readonly n: number;
  /** Limits are null for fewer than two lengths. */
  readonly mean: Limits | null;
  readonly sd: Limits | null;
  readonly percentiles: { readonly p10: Percentile; readonly p50: Percentile; readonly p90: Percentile };
  readonly histogram: Histogram;
  /** Null unless two groups are believed, or shown with the warning. */
  readonly twoGroups: TwoGroups | null;
  readonly above: (Limits & { readonly lengthUm: number }) | null;
  readonly screen: ScreenShare | null;
  readonly warnings: readonly Warning[];
}

function aboveShare(lengths: readonly number[], aboveUm: number, level: Level): Limits & { readonly lengthUm: number } {
  const over = lengths.filter((length) => length > aboveUm).length;
  return { lengthUm: aboveUm, ...wilson(over, lengths.length, twoSided(level)) };
}

function screenOf(
  lengths: readonly number[],
  { heightsUm, screenUm, fittedThickness, level }: LengthOptions,
): ScreenShare | null {
  if (screenUm === undefined) return null;
  const shells = lengths.map((lengthUm, i) => ({ lengthUm, heightUm: heightsUm?.[i] ?? lengthUm }));
  const thickness = fittedThickness === undefined ? {} : { thickness: fittedThickness, fitted: true };
  return screenShare(shells, screenUm, { ...thickness, ...(level === undefined ? {} : { level }) });
}

function lengthWarnings(n: number, groups: TwoGroups | null, { screenUm, fittedThickness }: LengthOptions): Warning[] {
  return warningsIf([
    ['few-lengths', n < 10],
    ['two-groups-few', groups?.shownWithWarning ?? false],
    ['preset-thickness', screenUm !== undefined && fittedThickness === undefined],
  ]);
}

/**
 * Mean, scatter, percentiles, groups and shares of lengths. Assumes lengths of different animals are independent and
 * every size as likely to be found; the scale's own uncertainty is common to all lengths and not in these limits.
 *
 * @param lengths one or more
 */
export function estimateLengths(lengths: SignedLengths, options: LengthOptions = {}): LengthEstimate {
  const { level = 0.95, aboveUm, heightsUm } = options;
  checkLevel(level);
  if (lengths.length === 0) throw badArgument('lengthsUm', 'a list of one or more', 'none');
  if (heightsUm !== undefined && heightsUm.length !== lengths.length) {
    throw badArgument('heightsUm', `a list of ${lengths.length}, as long as lengthsUm`, heightsUm.length);
  }
  const sorted = [...lengths].sort((a, b) => a - b);
  const groups = twoGroups(sorted);
  const shown = groups !== null && (groups.accepted || groups.shownWithWarning);
  return {
    n: sorted.length,
    mean: meanLimits(sorted, level),
    sd: sdLimits(sorted, level),
    percentiles: {
      p10: percentile(sorted, 0.1, level),
      p50: percentile(sorted, 0.5, level),
      p90: percentile(sorted, 0.9, level),
    },
    histogram: histogramOf(sorted),
    twoGroups: shown ? groups : null,
    above: aboveUm === undefined ? null : aboveShare(sorted, aboveUm, level),
    screen: screenOf(lengths, { ...options, level }),
    warnings: lengthWarnings(sorted.length, groups, options),
  };
}

/** What makes the mean of lengths uncertain, in micrometres. */
export interface MeanLengthSources {
  readonly sdUm: number;
  readonly n: number;
  readonly meanUm: number;
  /** Of the scale: common to all larvae, does not average out. */
  readonly scaleRelative: number;
  /** Common offset of the edge. */
  readonly offsetUm: number;
}

/** Standard uncertainty of a mean length: SD^2/n + (mean x scale)^2 + offset^2. */
export const meanLengthUncertainty = ({ sdUm, n, meanUm, scaleRelative, offsetUm }: MeanLengthSources): number =>
  Math.sqrt(sum([sdUm ** 2 / n, (meanUm * scaleRelative) ** 2, offsetUm ** 2]));
