import type { Limits } from '@veligrid/estimation';
import type { StandingSample } from '@veligrid/storage';
import { resultOf, type KeptResult } from '../record/recorded.js';

/** A number with what is known of how far it may be off. */
interface KeptTotal extends Limits {
  readonly relativeStandardUncertainty?: number | null;
  readonly degreesOfFreedom?: number | null;
}

/** A signed-off sample with its figures. */
export interface CountedSample {
  readonly overview: StandingSample;
  readonly result: KeptResult;
  /** Live animals of the container, as rules take them. */
  readonly alive: KeptTotal;
  readonly meanLengthUm: Limits | null;
  readonly lengthsUm: readonly number[];
}

const plainLimits = ({ estimate, low, high }: Limits): Limits => ({ estimate, low, high });

/** Live animals with limits, and the uncertainty behind them where it is one that rules can go on with. */
function aliveOf({ alive, all }: KeptResult): KeptTotal {
  const from = alive ?? all;
  const { relativeStandardUncertainty: u, degreesOfFreedom: n } = from as unknown as KeptTotal;
  const known = typeof u === 'number' && u <= 3 ? { relativeStandardUncertainty: u } : {};
  const freedom = typeof n === 'number' && n >= 1 && n <= 1e9 ? { degreesOfFreedom: n } : {};
  return { ...plainLimits(from.total), ...known, ...freedom };
}

/** A sample with its figures; null while it is open. */
export function countedSample(overview: StandingSample): CountedSample | null {
  const result = resultOf(overview);
  if (result === null) return null;
  const { mean = null } = result.lengths ?? {};
  const { lengthsUm = [] } = (result.lengths ?? {}) as { readonly lengthsUm?: readonly number[] };
  return {
    overview,
    result,
    alive: aliveOf(result),
    meanLengthUm: mean === null ? null : plainLimits(mean),
    lengthsUm,
  };
}

const DAY_MS = 86_400_000;

/** Days from one time to the other, to a hundredth. */
export const daysBetween = (from: string, to: string): number =>
  Math.round((100 * (Date.parse(to) - Date.parse(from))) / DAY_MS) / 100;

const DEAD: readonly string[] = ['dead', 'empty-shell'];
const LARVAE: readonly string[] = ['d-larva', 'umbo', 'eyed', 'pediveliger'];
const EMBRYOS: readonly string[] = [
  'egg',
  'fertilised-egg',
  'two-cell',
  'four-cell',
  'morula',
  'blastula',
  'gastrula',
  'trochophore',
];

/** What most of the living are; null when nothing alive was staged. */
export function mainStage({ shares }: KeptResult): string | null {
  const living = shares.filter(({ stage, animals }) => animals > 0 && !DEAD.includes(stage) && stage !== 'unsure');
  return living.toSorted((a, b) => b.animals - a.animals)[0]?.stage ?? null;
}

/** Whether presets know a stage, so that larvae are stocked and fed by it. */
export const isLarva = (stage: string | null): boolean => stage !== null && LARVAE.includes(stage);
export const isEmbryo = (stage: string | null): boolean => stage !== null && EMBRYOS.includes(stage);

/** Those of some stages among the living: the share as slides, for limits. */
export function slideOf(
  { shares }: KeptResult,
  stages: readonly string[],
): { readonly positive: number; readonly of: number } {
  const living = shares.filter(({ stage }) => !DEAD.includes(stage));
  const sum = (list: typeof living): number => list.reduce((all, { animals }) => all + animals, 0);
  return { positive: sum(living.filter(({ stage }) => stages.includes(stage))), of: sum(living) };
}
