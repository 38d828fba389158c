import { effectiveNumber, effectiveOfSex, pedigreeOf, type Pedigree, type Stay } from '@veligrid/hatchery';
import type { Desk } from '../record/desk.js';
import type { Names } from './house-names.js';
import type { Row } from './view.js';

/** What `show` and `history` say of where a batch comes from. */
export interface OriginView {
  /** By the shares of dams and sires (4 Nm Nf/(Nm + Nf)); null when no parent is recorded. */
  readonly effectiveBreeders: number | null;
  readonly origin: readonly Row[];
}

function breedersOf({ dams, sires }: Pedigree): number | null {
  if (dams.length === 0 || sires.length === 0) return null;
  const shares = (parts: Pedigree['dams']): number[] => parts.map(({ share }) => share);
  return effectiveNumber(effectiveOfSex(shares(sires), 'sires'), effectiveOfSex(shares(dams), 'dams'));
}

/** Where a batch comes from: parts with their shares, and the effective number of its breeders; null without parents. */
export async function originView(
  { parts }: Desk,
  batchId: string,
  names: Names,
  stays: readonly Stay[],
): Promise<OriginView> {
  const [origins, crosses, results] = [
    await parts.origins.list(),
    await parts.crosses.list(),
    await parts.spawnResults.list(),
  ];
  const pedigree = pedigreeOf(batchId, { stays }, { origins, crosses, results });
  const rows = (what: string, list: readonly { readonly id: string; readonly share: number }[]): Row[] =>
    list.map((one) => ({
      from: what,
      name: names(one.id),
      sharePercent: 100 * one.share,
      note: pedigree.takenAsEqual.includes(one.id) ? 'own share not known, taken as equal' : null,
    }));
  const unknown =
    pedigree.unknown === 0
      ? []
      : [{ from: 'not recorded', name: null, sharePercent: 100 * pedigree.unknown, note: null }];
  const batches = pedigree.batches.filter(({ id }) => id !== batchId);
  const origin = [
    ...rows('batch', batches),
    ...rows('cross', pedigree.crosses),
    ...rows('dam', pedigree.dams),
    ...rows('sire', pedigree.sires),
    ...unknown,
  ];
  return { effectiveBreeders: breedersOf(pedigree), origin };
}
