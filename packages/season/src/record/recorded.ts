import type { Limits } from '@veligrid/estimation';
import type { Recorded, TankCount } from '@veligrid/hatchery';
import type { Parts, StandingSample } from '@veligrid/storage';

/** The part of a kept result that the record goes by. */
export interface KeptResult {
  readonly animals: number;
  readonly signedOff: { readonly by: string; readonly at: string };
  readonly all: { readonly densityPerMl: Limits; readonly total: Limits };
  readonly alive: KeptResult['all'] | null;
  readonly shares: readonly { readonly stage: string; readonly animals: number; readonly share: Limits }[];
  readonly lengths: {
    readonly measured: number;
    readonly mean: Limits | null;
    readonly percentiles: readonly { readonly percent: number; readonly lengthUm: number }[];
  } | null;
}

/** The result of a sample whose sign-off stands; null when it is open. */
export function resultOf({ signOff, estimates }: Pick<StandingSample, 'signOff' | 'estimates'>): KeptResult | null {
  if (signOff?.kind !== 'signed') return null;
  const estimate = estimates.findLast(({ kind, signOffId }) => kind === 'count' && signOffId === signOff.id);
  return estimate === undefined ? null : (estimate.answer as unknown as KeptResult);
}

const DEAD: readonly string[] = ['dead', 'empty-shell'];

/** Dead ones in the whole container, by their part of what was counted; null where they are not told. */
function deadOf({ alive, all, shares }: KeptResult): number | null {
  if (alive === null) return null;
  return (
    shares.filter(({ stage }) => DEAD.includes(stage)).reduce((sum, { share }) => sum + share.estimate, 0) *
    all.total.estimate
  );
}

/** A signed-off sample as a count of its tank; null for one that is open or of no tank. */
function tankCountOf(standing: StandingSample): TankCount | null {
  const { sample } = standing;
  const result = resultOf(standing);
  if (result === null || sample.tankId === null || !sample.active) return null;
  // in a fixed sample nobody can tell the dead: all are taken for alive, as the result says
  const { estimate, low, high } = (result.alive ?? result.all).total;
  return {
    id: sample.id,
    tankId: sample.tankId,
    happenedAt: sample.takenAt,
    alive: { estimate, low, high },
    deadSeen: deadOf(result),
  };
}

/** What the ledger goes by, from moves that stand and samples. */
export function recordedFrom(moves: Recorded['moves'], samples: readonly StandingSample[]): Recorded {
  const fixed = samples.filter(({ sample }) => sample.notes.kind === 'fixed').map(({ sample }) => sample.id);
  return { moves, counts: samples.flatMap((one) => tankCountOf(one) ?? []), fixedSamples: new Set(fixed) };
}

/** Everything of a store that the ledger goes by: moves that stand, and counts that staff signed off. */
export const recordedOf = async ({ moves, samples }: Parts): Promise<Recorded> =>
  recordedFrom(await moves.list(), await samples.standing());
