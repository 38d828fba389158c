import type { Result } from '@veligrid/api';
import {
  estimateCount,
  estimateLengths,
  estimateShare,
  estimateStages,
  handLengths,
  handTally,
} from '@veligrid/estimation';
import type { CountEstimate, CountInput } from '@veligrid/estimation';
import { badArgument, type SampleNotes, type Stage } from '@veligrid/model';
import type { Store } from '@veligrid/storage';
import { keptCounting } from '../samples/sample-answer.js';
import { PROGRAM_VERSION } from '../version.js';
import type { BenchOptions } from './confirm-reviewed.js';
import { resultCaution } from './result-sentences.js';
import { KIND, plain } from './sign-off-handlers.js';

/** One filling of the slide that a person counted at the microscope. */
export interface TalliedFilling {
  /** Animals that were not dead; all of them in a fixed sample. */
  readonly alive: number;
  /** Dead ones and empty shells. */
  readonly dead: number;
  /** Volume looked at on the slide, mL. */
  readonly volumeMl: number;
  readonly steps: readonly { readonly takenMl: number; readonly madeUpToMl: number }[];
}

/** A count that a person made by eye, without photos. Entering it in their name is their sign-off. */
export interface HandTally {
  readonly by: string;
  readonly name: string;
  readonly tankId: string;
  readonly batchId: string | null;
  readonly takenAt: string;
  readonly species: string;
  readonly notes: SampleNotes;
  /** What most of them were. */
  readonly stage: Stage;
  readonly containerMl: number;
  readonly fillings: readonly TalliedFilling[];
  /** Lengths measured at the microscope, um; none is no length. */
  readonly lengthsUm: readonly number[];
  readonly note: string;
}

const sum = (numbers: readonly number[]): number => numbers.reduce((a, b) => a + b, 0);

function questionOf({ containerMl, fillings }: HandTally, count: (filling: TalliedFilling) => number): CountInput {
  return {
    container: { volumeMl: containerMl },
    subsamples: fillings.map((filling) => ({
      count: handTally(count(filling)),
      volumeMl: filling.volumeMl,
      steps: filling.steps,
    })),
  };
}

const figures = (estimate: CountEstimate): Result['all'] => ({
  ...estimate,
  dispersion: { ...estimate.dispersion },
  contributions: estimate.contributions.map((one) => ({ ...one })),
  warnings: [...estimate.warnings],
});

function sharesOf({ fillings, stage }: HandTally): Result['shares'] {
  const [alive, dead] = [sum(fillings.map((one) => one.alive)), sum(fillings.map((one) => one.dead))];
  if (alive + dead === 0) return [];
  if (dead === 0) {
    const all = handTally(alive);
    return [{ stage, animals: alive, share: estimateShare([{ positive: all, of: all }]).share }];
  }
  const { stages } = estimateStages({ [stage]: handTally(alive), dead: handTally(dead) });
  return [{ stage, animals: alive } as const, { stage: 'dead', animals: dead } as const].map((one) => {
    const { estimate = 0, low = 0, high = 1 } = stages[one.stage] ?? {};
    return { ...one, share: { estimate, low, high } };
  });
}

function lengthsOf({ lengthsUm }: HandTally): Result['lengths'] {
  if (lengthsUm.length === 0) return null;
  const { mean, percentiles } = estimateLengths(handLengths(lengthsUm));
  const { p10, p50, p90 } = percentiles;
  const shown = [p10, p50, p90].map(({ estimate }, i) => ({ percent: [10, 50, 90][i] ?? 0, lengthUm: estimate }));
  return { measured: lengthsUm.length, leftOut: 0, lengthsUm: [...lengthsUm], mean, percentiles: shown };
}

function resultOf(tally: HandTally, sample: string, at: string): Omit<Result, 'id'> {
  const fixed = tally.notes.kind === 'fixed';
  return {
    sample,
    signedOff: { by: tally.by, at },
    reopened: null,
    countingRule: 'by hand',
    rulesVersion: 'none',
    decisions: 0,
    animals: sum(tally.fillings.map(({ alive, dead }) => alive + dead)),
    all: figures(estimateCount(questionOf(tally, ({ alive, dead }) => alive + dead))),
    alive: fixed ? null : figures(estimateCount(questionOf(tally, ({ alive }) => alive))),
    shares: sharesOf(tally),
    lengths: lengthsOf(tally),
    audit: null,
    cautions: [
      resultCaution('counted-by-hand', {}),
      ...(fixed ? [resultCaution('dead-not-judged.in-result', {})] : []),
    ],
  };
}

/**
 * Keeps a count that a person made by eye as a sample with its fillings, signed off in their name.
 *
 * @returns id of the sample, and what follows from the count
 * @throws VeligridError `bad-argument` for numbers or volumes out of range
 */
export function keepHandTally(
  store: Pick<Store, 'together'>,
  tally: HandTally,
  { now = (): Date => new Date() }: BenchOptions = {},
): Promise<{ readonly sampleId: string; readonly result: Result }> {
  const { by, fillings, notes } = tally;
  if (notes.kind === 'fixed' && fillings.some(({ dead }) => dead > 0)) {
    throw badArgument('the dead of a fixed sample', 'none: they can not be told from the living', 'some');
  }
  const counting = {
    cell: { kind: 'none' as const },
    scale: { kind: 'ruled-lines' as const },
    countingRule: 'centroid' as const,
  };
  return store.together(async (parts) => {
    const sample = await parts.samples.add(
      {
        name: tally.name,
        batchId: tally.batchId,
        tankId: tally.tankId,
        takenAt: tally.takenAt,
        species: tally.species,
        notes,
        containerVolumeMl: tally.containerMl,
        containerVolumeStandardUncertaintyMl: null,
        counting: keptCounting({ ...counting, fields: null }, true),
        note: tally.note,
        active: true,
      },
      { by },
    );
    for (const [i, { volumeMl, steps, alive, dead }] of fillings.entries()) {
      const note = `${String(alive)} alive, ${String(dead)} dead`;
      const filling = { sampleId: sample.id, number: i + 1, volumeMl, volumeStandardUncertaintyMl: null, steps, note };
      await parts.fillings.add(filling, { by });
    }
    const result = resultOf(tally, sample.id, now().toISOString());
    const payload = plain({ by, countedByHand: fillings, stage: tally.stage });
    const signing = {
      sampleId: sample.id,
      photoId: null,
      kind: 'signed',
      decisions: 0,
      detections: {},
      payload,
    } as const;
    const { id } = await parts.signOffs.append(signing, { by });
    const question = plain(questionOf(tally, ({ alive, dead }) => alive + dead));
    const whole: Result = { ...result, id };
    const estimate = { sampleId: sample.id, signOffId: id, kind: KIND, question, answer: plain(whole) };
    await parts.estimates.append({ ...estimate, program: PROGRAM_VERSION }, { by });
    return { sampleId: sample.id, result: whole };
  });
}
