import type { BatchSeason as BatchAnswer, Happening as HappeningAnswer, TankSeason as TankAnswer } from '@veligrid/api';
import { exactly, type Limits } from '@veligrid/estimation';
import type { BatchSeason, Happening, TankSeason } from '@veligrid/season';
import type { Given } from '../http/given.js';

/** The three numbers alone: kept figures hold more. */
const plain = ({ estimate, low, high }: Limits): Limits => ({ estimate, low, high });

/** Something that happened, as it is answered: the client has words of its own for it. */
function happeningAnswer(one: Happening): Given<HappeningAnswer> {
  const { at, kind, batch, tank, animals, facts, by, entries, photos } = one;
  const number = typeof animals === 'number' ? exactly(animals) : animals;
  return { at, kind, batch, tank, animals: number && plain(number), facts, by, entries, photos };
}

function countAnswer(one: BatchSeason['counts'][number]): Given<BatchAnswer['counts'][number]> {
  const { sample, tank, at, day, fixed, photos, signedOff, result } = one;
  const { total, densityPerMl } = result.alive ?? result.all;
  return {
    ...{ sample, tank, at, day, fixed, photos },
    signedOff: { by: signedOff.by, at: signedOff.at },
    animals: result.animals,
    alive: plain(total),
    densityPerMl: plain(densityPerMl),
    shares: result.shares.map(({ stage, animals, share }) => ({ stage, animals, share: plain(share) })),
  };
}

/** A batch as it is answered. */
export const batchAnswer = (season: BatchSeason): Given<BatchAnswer> => ({
  ...season,
  counts: season.counts.map(countAnswer),
  timeline: season.timeline.map(happeningAnswer),
});

/** A tank as it is answered. */
export const tankAnswer = (season: TankSeason): Given<TankAnswer> => ({
  ...season,
  timeline: season.timeline.map(happeningAnswer),
});
