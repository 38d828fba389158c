import { COUNTED_KINDS, type Detection, type Flag, type PhotoCount } from '@veligrid/model';

/** Why an egg or larva is left out of length figures. */
export type LeftOutReason = Extract<Flag, 'cut' | 'edge-on' | 'out-of-focus'>;

/** The first that fits is told. */
const REASONS: readonly LeftOutReason[] = ['cut', 'edge-on', 'out-of-focus'];

/** Lengths of one page. */
export interface LengthFigures {
  /** Eggs, embryos and larvae taken into the figures. */
  readonly measured: number;
  /** Those left out, by reason. */
  readonly leftOut: Readonly<Record<LeftOutReason, number>>;
  /** Micrometres; null without a scale or with nothing to measure. */
  readonly lengthUm: {
    readonly mean: number;
    readonly median: number;
    readonly p10: number;
    readonly p90: number;
  } | null;
}

/** Percentile by linear interpolation between order statistics (type 7 of Hyndman and Fan 1996). */
export function percentile(sorted: readonly number[], share: number): number {
  const at = share * (sorted.length - 1);
  const low = sorted[Math.floor(at)] ?? Number.NaN;
  const high = sorted[Math.ceil(at)] ?? low;
  return low + (at - Math.floor(at)) * (high - low);
}

const reasonOf = (one: Detection): LeftOutReason | undefined => REASONS.find((reason) => one.flags.includes(reason));

/** Length figures of what was taken for an egg, embryo or larva, whole, flat and sharp. */
export function lengthFigures(count: PhotoCount): LengthFigures {
  const larvae = count.detections.filter(
    (one) => COUNTED_KINDS.includes(one.kind) && (one.counted || one.flags.includes('cut')),
  );
  const leftOut = { cut: 0, 'edge-on': 0, 'out-of-focus': 0 };
  const lengths: number[] = [];
  let measured = 0;
  for (const one of larvae) {
    const reason = reasonOf(one);
    if (reason !== undefined) {
      leftOut[reason]++;
      continue;
    }
    measured++;
    if (one.lengthUm !== null) lengths.push(one.lengthUm);
  }
  lengths.sort((a, b) => a - b);
  if (lengths.length === 0) return { measured, leftOut, lengthUm: null };
  const mean = lengths.reduce((sum, length) => sum + length, 0) / lengths.length;
  const [median, p10, p90] = [percentile(lengths, 0.5), percentile(lengths, 0.1), percentile(lengths, 0.9)];
  return { measured, leftOut, lengthUm: { mean, median, p10, p90 } };
}
