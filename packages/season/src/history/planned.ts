import type { PlanEntry } from '@veligrid/storage';
import { fact } from './fact.js';
import { happening, type EntryLink, type Happening } from './happening.js';
import { named } from './house-names.js';
import type { Asked } from './in-tanks.js';

/** Plans that staff kept, each with the count it was made from. */
export function planned(plans: readonly PlanEntry[], asked: Asked): Happening[] {
  return plans
    .filter(({ batchId, tankId, at }) => asked.isMeant(batchId, tankId, at))
    .map(({ id, at, by, kind, batchId, tankId, sampleId, why }) => {
      const from: EntryLink[] = sampleId === null ? [] : [{ kind: 'sample', id: sampleId, version: 1 }];
      return happening({
        at,
        kind: 'planned',
        batch: named(asked.names, batchId),
        tank: named(asked.names, tankId),
        facts: [...fact('plan', kind), ...fact('note', why)],
        by,
        entries: [{ kind: 'plan', id, version: 1 }, ...from],
      });
    });
}
