import type { Plan, PlanAnswer, PlanHead } from '@veligrid/api';
import { houseNames, planStanding, type Names } from '@veligrid/season';
import type { Parts, PlanEntry } from '@veligrid/storage';

type Named = PlanHead['sample'];

const named = (id: string | null, names: Names): Named => (id === null ? null : { id, name: names(id) ?? id });

async function headOf(parts: Parts, entry: PlanEntry, names: Names): Promise<PlanHead> {
  const { id, kind, by, at, why, sampleId, batchId, tankId } = entry;
  const signOffs = sampleId === null ? [] : await parts.signOffs.ofSample(sampleId);
  return {
    id,
    kind,
    made: { by, at },
    why,
    sample: named(sampleId, names),
    batch: named(batchId, names),
    tank: named(tankId, names),
    standing: planStanding(entry, signOffs),
  };
}

/** Kept plans as lists show them. */
export async function planHeads(parts: Parts, entries: readonly PlanEntry[]): Promise<PlanHead[]> {
  const names = await houseNames(parts);
  return Promise.all(entries.map((entry) => headOf(parts, entry, names)));
}

/** A kept plan as a whole, as it was worked out then. */
export async function wholePlan(parts: Parts, entry: PlanEntry): Promise<Plan> {
  const head = await headOf(parts, entry, await houseNames(parts));
  const { question, answer, figures, changedFigures, program } = entry;
  return {
    ...head,
    question: question as Plan['question'],
    answer: answer as unknown as PlanAnswer,
    figures,
    changed: changedFigures as unknown as Plan['changed'],
    program,
  };
}
