import type { Stay } from '@veligrid/hatchery';
import type { Desk } from '../record/desk.js';
import type { Names } from './house-names.js';
import { pedigreeView, type NamedPart } from './pedigree-view.js';
import type { Row } from './view.js';

/** What `show` and `history` say of where a batch comes from. */
export interface OriginView {
  /** By the shares of dams and sires (4 Nm Nf/(Nm + Nf)); null when no parent is recorded. */
  readonly effectiveBreeders: number | null;
  readonly origin: readonly Row[];
}

const PER_CENT = 100;

const rows = (from: string, list: readonly NamedPart[]): Row[] =>
  list.map(({ name, share, takenAsEqual }) => ({
    from,
    name,
    sharePercent: PER_CENT * share,
    note: takenAsEqual ? 'own share not known, taken as equal' : null,
  }));

/** Where a batch comes from: parts with their shares, and the effective number of its breeders; null without parents. */
export async function originView(
  desk: Desk,
  batchId: string,
  names: Names,
  stays: readonly Stay[],
): Promise<OriginView> {
  const { effectiveBreeders, batches, crosses, dams, sires, unknown } = await pedigreeView(desk, batchId, names, stays);
  const left =
    unknown === 0 ? [] : [{ from: 'not recorded', name: null, sharePercent: PER_CENT * unknown, note: null }];
  const others = batches.filter(({ id }) => id !== batchId);
  const origin = [
    ...rows('batch', others),
    ...rows('cross', crosses),
    ...rows('dam', dams),
    ...rows('sire', sires),
    ...left,
  ];
  return { effectiveBreeders, origin };
}
