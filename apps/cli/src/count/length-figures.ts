import { COUNTED_KINDS, type Detection, type Flag, type PhotoCount } from '@veligrid/model';

/** Why an egg or larva is left out of length figures. */
export type LeftOutReason = Extract<Flag, 'cut' | 'edge-on' | 'out-of-focus' | 'not-rounded'>;

/** The first that fits is told. */
const REASONS: readonly LeftOutReason[] = ['cut', 'edge-on', 'out-of-focus', 'not-rounded'];

/** Lengths of one page. */
export interface LengthFigures {
  /** Eggs, embryos and larvae taken into the figures. */
  readonly measured: number;
  /** Those left out, by reason. */
  readonly leftOut: Readonly<Record<LeftOutReason, number>>;
  /** Micrometres, each larva weighted by the chance that one of its size is whole in the photo; null without a scale or with nothing to measure. */
  readonly lengthUm: {
    readonly mean: number;
    readonly median: number;
    readonly p10: number;
    readonly p90: number;
  } | null;
}

/** A length and what it stands for. */
export interface WeightedLength {
  readonly um: number;
  /** Above 0. */
  readonly weight: number;
}

/**
 * Percentile by linear interpolation between order statistics, each in the middle of the gaps that its weight spans; with
 * equal weights that is type 7 of Hyndman and Fan 1996.
 *
 * @param sorted rising
 * @param share 0 to 1
 */
export function percentile(sorted: readonly WeightedLength[], share: number): number {
  const gaps = sorted.slice(1).map(({ weight }, k) => (weight + (sorted[k]?.weight ?? weight)) / 2);
  let left = share * gaps.reduce((sum, gap) => sum + gap, 0);
  for (const [k, gap] of gaps.entries()) {
    const low = sorted[k]?.um ?? Number.NaN;
    if (left <= gap) return low + (left / gap) * ((sorted[k + 1]?.um ?? low) - low);
    left -= gap;
  }
  return sorted[sorted.length - 1]?.um ?? Number.NaN;
}

const reasonOf = (one: Detection): LeftOutReason | undefined => REASONS.find((reason) => one.flags.includes(reason));

/**
 * Length figures of what was taken for an egg, embryo or larva, whole, flat and sharp. Large ones are cut more often than
 * small ones, so each counts with its inclusion weight.
 */
export function lengthFigures(count: PhotoCount): LengthFigures {
  const larvae = count.detections.filter(
    (one) =>
      COUNTED_KINDS.includes(one.kind) && (one.counted || (one.flags.includes('cut') && one.sameAs === undefined)),
  );
  const leftOut = { cut: 0, 'edge-on': 0, 'out-of-focus': 0, 'not-rounded': 0 };
  const lengths: WeightedLength[] = [];
  let measured = 0;
  for (const one of larvae) {
    const reason = reasonOf(one);
    if (reason !== undefined) {
      leftOut[reason]++;
      continue;
    }
    measured++;
    if (one.lengthUm !== null) lengths.push({ um: one.lengthUm, weight: one.inclusionWeight ?? 1 });
  }
  lengths.sort((a, b) => a.um - b.um);
  if (lengths.length === 0) return { measured, leftOut, lengthUm: null };
  const weights = lengths.reduce((sum, { weight }) => sum + weight, 0);
  const mean = lengths.reduce((sum, { um, weight }) => sum + um * weight, 0) / weights;
  const [median, p10, p90] = [percentile(lengths, 0.5), percentile(lengths, 0.1), percentile(lengths, 0.9)];
  return { measured, leftOut, lengthUm: { mean, median, p10, p90 } };
}
