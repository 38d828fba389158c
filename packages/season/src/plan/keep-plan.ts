import type { Figure, FigurePreset, FigureValue } from '@veligrid/hatchery';
import { VeligridError } from '@veligrid/model';
import type { JsonObject, Parts, PlanEntry, SignOffEntry } from '@veligrid/storage';
import { answerPlan } from './answer-plan.js';
import type { PlanAnswer } from './answers.js';
import { loadFigures, shippedPresets } from './load-figures.js';
import { figureSet, ownFiguresOf, type OwnFigures } from './own-figures.js';

/** A figure changed for one plan alone. */
export interface ChangedFigure {
  readonly name: string;
  readonly value: FigureValue;
  /** Why, or where it is from. */
  readonly why: string;
}

/** A question with the figures that are changed for it. */
export interface PlanAsked {
  readonly question: unknown;
  readonly changed?: readonly ChangedFigure[];
}

/** A plan that is worked out and not kept. */
export interface TriedPlan {
  readonly answer: PlanAnswer;
  /** Presets by name and version. */
  readonly figures: string;
  readonly ownFiguresId: string | null;
  readonly changed: readonly Figure[];
}

/** Name that figures changed for one plan are printed under. */
const THIS_PLAN = { name: 'this plan', version: '1' };

function speciesOf(question: unknown): string {
  const asked = typeof question === 'object' && question !== null ? (question as { species?: unknown }).species : null;
  return typeof asked === 'string' ? asked : 'eastern-oyster';
}

async function changedOf(
  species: string,
  own: OwnFigures | null,
  changed: readonly ChangedFigure[],
): Promise<FigurePreset> {
  const book = await loadFigures(species, own === null ? [] : [own.preset]);
  const figures = changed.map((one) => figureSet(book, one, THIS_PLAN));
  return { ...THIS_PLAN, title: 'Changed for this plan alone', figures };
}

/**
 * Answers a question by the rules of the hatchery, with its own figures and those that are changed for this plan alone.
 *
 * @throws VeligridError `bad-argument` with one sentence for what is wrong or missing
 */
export async function tryPlan(parts: Pick<Parts, 'rules'>, { question, changed = [] }: PlanAsked): Promise<TriedPlan> {
  const species = speciesOf(question);
  const own = await ownFiguresOf(parts, species);
  const forThis = await changedOf(species, own, changed);
  const presets = [...(await shippedPresets(species)), ...(own === null ? [] : [own.preset])];
  const answer = await answerPlan(question, [...(own === null ? [] : [own.preset]), forThis]);
  return {
    answer,
    figures: presets.map(({ name, version }) => `${name} ${version}`).join(', '),
    ownFiguresId: own?.id ?? null,
    changed: forThis.figures,
  };
}

/** What a plan is for, and who keeps it. */
export interface PlanToKeep extends PlanAsked {
  readonly sampleId: string | null;
  /** Sign-off that whoever keeps it looked at; refused when it no longer stands. Left out: the one that stands. */
  readonly signOffId?: string;
  /** Left out: those of the sample. */
  readonly batchId?: string | null;
  readonly tankId?: string | null;
  readonly why?: string;
  readonly by: string;
  readonly program: string;
}

/** The sign-off of the whole count that stands; null when it is open. */
function standingOf(signOffs: readonly SignOffEntry[]): SignOffEntry | null {
  const last = signOffs.findLast(({ photoId }) => photoId === null);
  return last?.kind === 'signed' ? last : null;
}

async function basisOf(parts: Parts, sampleId: string, seen: string | undefined): Promise<string> {
  const standing = standingOf(await parts.signOffs.ofSample(sampleId));
  if (standing === null) {
    throw new VeligridError('refused', 'This count is not signed off, so no plan is kept for it. Sign it off first.');
  }
  if (seen === undefined || seen === standing.id) return standing.id;
  throw new VeligridError('changed-meanwhile', 'This count was signed off anew since you looked. Look at it again.');
}

const plain = (value: unknown): JsonObject => JSON.parse(JSON.stringify(value)) as JsonObject;

/**
 * Works a plan out and keeps it. The answer is made here, never taken from elsewhere.
 *
 * @throws VeligridError as `tryPlan`; `refused` for a count that is not signed off; `changed-meanwhile`
 */
export async function keepPlan(parts: Parts, wanted: PlanToKeep): Promise<PlanEntry> {
  const { question, sampleId, signOffId, by, program, why } = wanted;
  const sample = sampleId === null ? null : await parts.samples.get(sampleId);
  const { answer, figures, ownFiguresId, changed } = await tryPlan(parts, wanted);
  return parts.plans.append(
    {
      kind: answer.kind,
      question: plain(question),
      answer: plain(answer),
      figures,
      ownFiguresId,
      changedFigures: changed.map(plain),
      sampleId,
      signOffId: sampleId === null ? null : await basisOf(parts, sampleId, signOffId),
      batchId: wanted.batchId ?? sample?.batchId ?? null,
      tankId: wanted.tankId ?? sample?.tankId ?? null,
      program,
    },
    why === undefined || why === '' ? { by } : { by, why },
  );
}

/** Whether the count behind a plan is still what it was. */
export type PlanStanding = 'stands' | 'reopened' | 'signed-anew' | 'rests-on-none';

/** @param signOffs those of the plan's sample */
export function planStanding(
  { signOffId }: Pick<PlanEntry, 'signOffId'>,
  signOffs: readonly SignOffEntry[],
): PlanStanding {
  if (signOffId === null) return 'rests-on-none';
  const standing = standingOf(signOffs);
  if (standing === null) return 'reopened';
  return standing.id === signOffId ? 'stands' : 'signed-anew';
}
