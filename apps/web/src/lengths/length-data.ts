import { bin, quantileSorted } from 'd3-array';
import { STAGES, type Stage } from '@veligrid/model';
import type { Larva } from '../state/larvae.js';

/** One bar of the histogram, with its larvae by stage. */
export interface Bar {
  readonly fromUm: number;
  readonly toUm: number;
  readonly stages: readonly { readonly stage: Stage; readonly number: number }[];
  readonly number: number;
}

/** What the screen on lengths shows. Nothing of it is signed off. */
export interface LengthData {
  readonly bars: readonly Bar[];
  readonly widthUm: number;
  /** Lengths in order. */
  readonly lengths: readonly number[];
  readonly mean: number | null;
  readonly percentiles: readonly { readonly percent: number; readonly lengthUm: number }[];
  /** Counted but without a length to use. */
  readonly leftOut: number;
}

const PERCENTS = [10, 25, 50, 75, 90] as const;

/** Bins of 5, 10, 20 or 50 um, about fifteen of them. */
function widthFor(lengths: readonly number[]): number {
  const span = (lengths.at(-1) ?? 0) - (lengths[0] ?? 0);
  return [5, 10, 20].find((width) => span / width <= 16) ?? 50;
}

/** Numbers by stage, in order of development. */
function stagesIn(larvae: readonly Larva[]): Bar['stages'] {
  const numbers = new Map<Stage, number>();
  for (const { object } of larvae) numbers.set(object.stage, (numbers.get(object.stage) ?? 0) + 1);
  return STAGES.flatMap((stage) => {
    const number = numbers.get(stage);
    return number === undefined ? [] : [{ stage, number }];
  });
}

/** Sorts the larvae of a count into bars and figures; only those in the count with a length that may be used. */
export function lengthData(all: readonly Larva[]): LengthData {
  const counted = all.filter(({ inCount }) => inCount);
  const measured = counted.filter(({ object }) => object.measurable && object.lengthUm !== null);
  const lengthOf = ({ object }: Larva): number => object.lengthUm ?? 0;
  const lengths = measured.map(lengthOf).sort((a, b) => a - b);
  const widthUm = widthFor(lengths);
  const from = Math.floor((lengths[0] ?? 0) / widthUm);
  const to = Math.floor((lengths.at(-1) ?? 0) / widthUm) + 1;
  const edges = Array.from({ length: Math.max(0, to - from) }, (_, i) => (from + i) * widthUm);
  const sorted = bin<Larva, number>()
    .value(lengthOf)
    .domain([from * widthUm, to * widthUm])
    .thresholds(edges.slice(1));
  const bars =
    lengths.length === 0
      ? []
      : sorted(measured).map((members, i): Bar => {
          const fromUm = edges[i] ?? 0;
          return { fromUm, toUm: fromUm + widthUm, stages: stagesIn(members), number: members.length };
        });
  return {
    bars,
    widthUm,
    lengths,
    mean: lengths.length === 0 ? null : lengths.reduce((a, b) => a + b, 0) / lengths.length,
    percentiles: PERCENTS.flatMap((percent) => {
      const lengthUm = quantileSorted(lengths, percent / 100);
      return lengthUm === undefined ? [] : [{ percent, lengthUm }];
    }),
    leftOut: counted.length - measured.length,
  };
}

/**
 * Opening that a closed shell just passes over the smaller of its length and height, with a thickness of 0.6 of that:
 * sqrt((1 + 0.6^2) / 2). The same rule and the same caution as `screenShare` of the statistics (docs/statistics.md).
 */
const PASSES = Math.sqrt((1 + 0.6 ** 2) / 2);

/** Share of the measured larvae that a screen keeps at most, 0..1; null when none were measured. */
export function keptBy(all: readonly Larva[], apertureUm: number): number | null {
  const sizes = all
    .filter(({ inCount, object }) => inCount && object.measurable && object.lengthUm !== null)
    .map(({ object }) => Math.min(object.lengthUm ?? 0, object.heightUm ?? Infinity));
  return sizes.length === 0 ? null : sizes.filter((size) => PASSES * size > apertureUm).length / sizes.length;
}

/** Smallest size that a screen keeps, for its line in the histogram, micrometres. */
export const keptFrom = (apertureUm: number): number => apertureUm / PASSES;
