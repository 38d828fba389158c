import type { Desk } from '../record/desk.js';
import { happening, words, type Happening } from './happening.js';
import type { Asked } from './in-tanks.js';

/** Plans that staff kept for the batches. */
export async function planned({ parts }: Desk, { lineage, names }: Asked): Promise<Happening[]> {
  const plans = (await parts.plans.list()).filter(
    ({ batchId, at }) => batchId !== null && (lineage.get(batchId) ?? '') >= at,
  );
  return plans.map(({ kind, batchId, tankId, sampleId, at, by, why }) =>
    happening(at, 'planned', {
      batch: names(batchId),
      tank: names(tankId),
      text: words(kind.replaceAll('-', ' '), sampleId === null ? null : `by ${names(sampleId) ?? ''}`, why),
      by,
    }),
  );
}
