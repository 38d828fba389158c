import type { SampleChange } from '@veligrid/api';
import type { Change, FillingFields, SampleFields } from '@veligrid/storage';
import type { Call } from '../http/call.js';
import { findSample } from './read-sample.js';

type Changed = SampleChange['changed'][number];

/** What of a record is told, by name, as text or number. */
type Told = Readonly<Partial<Record<Changed['what'], Changed['after']>>>;

const ofSample = ({ containerVolumeMl, takenAt, note, batchId }: SampleFields): Told => ({
  containerMl: containerVolumeMl,
  takenAt,
  note,
  batch: batchId,
});

const ofFilling = ({ steps, volumeMl }: FillingFields): Told => ({
  steps: steps.map(({ takenMl, madeUpToMl }) => `${String(takenMl)} / ${String(madeUpToMl)} mL`).join(', '),
  wholeSlideMl: volumeMl,
});

/** What each change after the first version changed; changes of other fields alone are left out. */
function changesOf<Fields>(
  history: readonly Change<Fields>[],
  told: (fields: Fields) => Told,
  filling: number | null,
): SampleChange[] {
  return history.flatMap(({ by, at, why, fields }, i) => {
    const last = history[i - 1];
    if (last === undefined) return [];
    const [before, after] = [told(last.fields), told(fields)];
    const changed = (Object.keys(after) as Changed['what'][])
      .filter((what) => before[what] !== after[what])
      .map((what) => ({ what, filling, before: before[what] ?? null, after: after[what] ?? null }));
    return changed.length === 0 ? [] : [{ by, at, why, changed }];
  });
}

/** Corrections of a sample and its fillings, oldest first: who, when, why, and what it was before. */
export async function sampleHistory({ house, params }: Call<'getSampleHistory'>): Promise<{ changes: SampleChange[] }> {
  const { store } = house;
  const { id } = await findSample(house, params['sample']);
  const changes = changesOf(await store.samples.history(id), ofSample, null);
  for (const { id: filling, number } of await store.fillings.ofSample(id)) {
    changes.push(...changesOf(await store.fillings.history(filling), ofFilling, number));
  }
  return { changes: changes.toSorted((a, b) => a.at.localeCompare(b.at)) };
}
