import type { Move, Stay } from '@veligrid/hatchery';
import { VeligridError } from '@veligrid/model';
import { answerPlan } from '../plan/answer-plan.js';
import type { PlanAnswer } from '../plan/answers.js';
import { ownFiguresOf, type OwnFigures } from '../plan/own-figures.js';
import type { PlanQuestion } from '../plan/questions.js';
import { ledgerOf, type Desk } from '../record/desk.js';
import { allowedPlans, type AllowedPlan } from './allowed-plans.js';
import { temperatureAlong, type Asked } from './asked.js';
import { beforeOf, growthQuestion, movesBetween, survivalQuestion, yieldQuestion, type Before } from './changes.js';
import { countsAlong, pathOf, stayOf } from './count-path.js';
import { countedSample, daysBetween, type CountedSample } from './counted-sample.js';

/** What a signed-off count changes and allows. */
export interface AfterCount {
  readonly asked: Asked;
  readonly counted: CountedSample;
  readonly ageDays: number | null;
  readonly before: Before | null;
  /** Moves since what came before, and after the count. */
  readonly between: readonly Move[];
  readonly since: readonly Move[];
  readonly survival: PlanAnswer | null;
  readonly growth: PlanAnswer | null;
  readonly dYield: PlanAnswer | null;
  /** Why something of that could not be worked out, in sentences. */
  readonly notWorkedOut: readonly string[];
  readonly plans: readonly AllowedPlan[];
}

/** The batch of a count: that of its sample, else the one that was in the tank. */
async function batchOf({ parts }: Desk, { overview }: CountedSample, stay: Stay | null): Promise<Asked['batch']> {
  const id = overview.sample.batchId ?? stay?.batchId ?? null;
  return id === null ? null : parts.batches.get(id);
}

async function askedOf(desk: Desk, sampleId: string): Promise<Asked | null> {
  const { parts } = desk;
  const counts = (await parts.samples.standing()).flatMap((one) => countedSample(one) ?? []);
  const counted = counts.find(({ overview }) => overview.sample.id === sampleId);
  if (counted === undefined) return null;
  const { recorded, ledger } = await ledgerOf(desk);
  const { sample } = counted.overview;
  const stay = stayOf(ledger.stays, counted);
  const batch = await batchOf(desk, counted, stay);
  const path = stay === null ? [] : pathOf(stay, sample.takenAt, ledger.stays, recorded);
  return {
    desk,
    counted,
    tank: sample.tankId === null ? null : await parts.tanks.get(sample.tankId),
    batch,
    species: batch?.species ?? sample.species,
    spawnedAt: batch?.spawnedAt ?? null,
    recorded,
    stays: ledger.stays,
    stay,
    path,
    counts: path.length === 0 ? [counted] : countsAlong(path, counts),
    temperatureC: await temperatureAlong(desk, path),
  };
}

/** Answers what count and record say; a sentence where they can't be held against each other. */
async function answered(question: PlanQuestion | null, own: OwnFigures | null): Promise<PlanAnswer | string | null> {
  if (question === null) return null;
  try {
    return await answerPlan(question, own === null ? [] : [own.preset]);
  } catch (error) {
    if (error instanceof VeligridError && error.code === 'bad-argument') return error.message;
    throw error;
  }
}

const answerIn = (found: PlanAnswer | string | null): PlanAnswer | null => (typeof found === 'string' ? null : found);

/**
 * What changed since the count before, and the plans that a count allows, each with its question filled in.
 *
 * @returns null when the sample is not signed off
 */
export async function afterCount(desk: Desk, sampleId: string): Promise<AfterCount | null> {
  const asked = await askedOf(desk, sampleId);
  if (asked === null) return null;
  const { counted, spawnedAt, species } = asked;
  const own = await ownFiguresOf(desk.parts, species);
  const { takenAt } = counted.overview.sample;
  const before = beforeOf(asked);
  const survival = await answered(survivalQuestion(asked, before), own);
  const growth = await answered(growthQuestion(asked), own);
  const dYield = await answered(yieldQuestion(asked), own);
  return {
    asked,
    counted,
    ageDays: spawnedAt === null || spawnedAt > takenAt ? null : daysBetween(spawnedAt, takenAt),
    before,
    between: before === null ? [] : movesBetween(asked, before.at, takenAt),
    since: movesBetween(asked, takenAt, null),
    survival: answerIn(survival),
    growth: answerIn(growth),
    dYield: answerIn(dYield),
    notWorkedOut: [survival, growth, dYield].filter((one) => typeof one === 'string'),
    plans: await allowedPlans(asked),
  };
}
