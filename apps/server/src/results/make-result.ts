import type { LengthFigures, Result } from '@veligrid/api';
import {
  auditEstimate,
  estimateCount,
  estimateLengths,
  estimateShare,
  estimateStages,
  lengthsOf,
  subsamplesOf,
  tallyOf,
  type AuditSquare,
  type Choose,
  type CountEstimate,
  type CountInput,
} from '@veligrid/estimation';
import { STAGES, VeligridError, type ConfirmedCount } from '@veligrid/model';
import type { House } from '../house.js';
import { auditOf } from '../review/audit-handlers.js';
import { cautionsOf } from './cautions.js';
import type { Current } from './current.js';

/** A result that has no place in the records yet. */
export type NewResult = Omit<Result, 'id' | 'reopened'>;

const isAlive: Choose = ({ stage }) => stage !== 'dead' && stage !== 'empty-shell';

/** Fewer tallied squares than this say nothing. */
const FEWEST_AUDITED = 2;

/** The question of a confirmed count: each photo with its own volume, added up by filling. */
function questionOf(confirmed: ConfirmedCount, { of, used, volumes }: Current, choose?: Choose): CountInput {
  // volumes differ from photo to photo: these stand in until each gets its own
  const standIn = { kind: 'frame', widthMm: 1, heightMm: 1 } as const;
  const subsamples = subsamplesOf(confirmed, { field: standIn, ...(choose && { choose }) });
  return {
    container: { volumeMl: of.answer.containerMl },
    placement: used.every(({ count }) => count.counting.drawnField !== null) ? 'random' : 'chosen',
    subsamples: subsamples.map(({ count }, i) => {
      const volume = volumes[i];
      if (volume === undefined || volume.slideMl === null) {
        throw new VeligridError('refused', volume?.why ?? 'A photo has no volume.');
      }
      return { count, volumeMl: volume.slideMl, steps: volume.steps, filling: String(volume.filling) };
    }),
  };
}

/** Plain numbers of an estimate. */
const figures = (estimate: CountEstimate): Result['all'] => ({
  ...estimate,
  dispersion: { ...estimate.dispersion },
  contributions: estimate.contributions.map((one) => ({ ...one })),
  warnings: [...estimate.warnings],
});

function sharesOf(confirmed: ConfirmedCount): Result['shares'] {
  const present = STAGES.map((stage) => ({ stage, animals: tallyOf(confirmed, (one) => one.stage === stage) })).filter(
    ({ animals }) => animals > 0,
  );
  const [only] = present;
  if (only === undefined) return [];
  if (present.length === 1) {
    return [{ ...only, share: estimateShare([{ positive: only.animals, of: only.animals }]).share }];
  }
  const { stages } = estimateStages(Object.fromEntries(present.map(({ stage, animals }) => [stage, animals])));
  return present.map(({ stage, animals }) => {
    const { estimate = 0, low = 0, high = 1 } = stages[stage] ?? {};
    return { stage, animals, share: { estimate, low, high } };
  });
}

function lengthFigures(confirmed: ConfirmedCount): LengthFigures | null {
  const lengths = lengthsOf(confirmed);
  if (lengths.length === 0) return null;
  const { mean, percentiles } = estimateLengths(lengths);
  const { p10, p50, p90 } = percentiles;
  return {
    measured: lengths.length,
    leftOut: tallyOf(confirmed) - lengths.length,
    lengthsUm: [...lengths],
    mean,
    percentiles: [
      { percent: 10, lengthUm: p10.estimate },
      { percent: 50, lengthUm: p50.estimate },
      { percent: 90, lengthUm: p90.estimate },
    ],
  };
}

async function auditSquares(house: House, confirmed: ConfirmedCount, { counts }: Current): Promise<AuditSquare[]> {
  const byPhoto = await Promise.all(
    confirmed.photos.map(async ({ photo, squares, objects }) => {
      const count = counts.find((one) => one.photo === photo);
      const audit = count === undefined ? null : await auditOf(house, count);
      return (squares ?? []).map((name) => ({
        detected: objects.filter(({ square }) => square === name).length,
        confirmed: audit?.squares.find((one) => one.name === name)?.tally?.animals ?? null,
      }));
    }),
  );
  return byPhoto.flat();
}

async function auditOfResult(house: House, confirmed: ConfirmedCount, current: Current): Promise<Result['audit']> {
  const squares = await auditSquares(house, confirmed, current);
  if (squares.filter((one) => one.confirmed !== null).length < FEWEST_AUDITED) return null;
  const { difference, ratio, audited } = auditEstimate(squares);
  const plain = ({ estimate, low, high }: Result['all']['total']): Result['all']['total'] => ({ estimate, low, high });
  return { squares: squares.length, audited, difference: plain(difference), ratio: ratio && plain(ratio) };
}

/**
 * What follows from a confirmed count.
 *
 * @throws VeligridError `refused` when a photo has no volume
 */
export async function makeResult(house: House, confirmed: ConfirmedCount, current: Current): Promise<NewResult> {
  const { of } = current;
  const fixed = of.answer.condition.kind === 'fixed';
  return {
    sample: of.sample.id,
    signedOff: { by: confirmed.by, at: confirmed.at },
    countingRule: confirmed.countingRule,
    rulesVersion: confirmed.rulesVersion,
    decisions: of.decisions.length,
    animals: tallyOf(confirmed),
    all: figures(estimateCount(questionOf(confirmed, current))),
    alive: fixed ? null : figures(estimateCount(questionOf(confirmed, current, isAlive))),
    shares: sharesOf(confirmed),
    lengths: lengthFigures(confirmed),
    audit: await auditOfResult(house, confirmed, current),
    cautions: await cautionsOf(house, current),
  };
}

/** The question as it is kept beside its answer. */
export const keptQuestion = (confirmed: ConfirmedCount, current: Current): CountInput => questionOf(confirmed, current);
