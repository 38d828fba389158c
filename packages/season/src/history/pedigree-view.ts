import { effectiveNumber, effectiveOfSex, pedigreeOf, type Part, type Pedigree, type Stay } from '@veligrid/hatchery';
import type { Desk } from '../record/desk.js';
import { named, type Named, type Names } from './house-names.js';

/** A part of a batch by name. */
export interface NamedPart extends Part {
  readonly name: string;
  /** Spawns that it came from: of a parent those in which it gave for this batch; none for a batch. */
  readonly spawns: readonly Named[];
  /** Its own share is not known: it was taken as equal to the others. */
  readonly takenAsEqual: boolean;
}

/** Where a batch comes from, largest shares first. */
export interface NamedPedigree {
  /** By the shares of dams and sires (4 Nm Nf/(Nm + Nf)); null when no parent is recorded. */
  readonly effectiveBreeders: number | null;
  /** Batches it is made of by the names they were stocked under, itself included. */
  readonly batches: readonly NamedPart[];
  readonly crosses: readonly NamedPart[];
  readonly dams: readonly NamedPart[];
  readonly sires: readonly NamedPart[];
  /** Share of the batch for which no cross is recorded. */
  readonly unknown: number;
}

function breedersOf({ dams, sires }: Pedigree): number | null {
  if (dams.length === 0 || sires.length === 0) return null;
  const shares = (parts: Pedigree['dams']): number[] => parts.map(({ share }) => share);
  return effectiveNumber(effectiveOfSex(shares(sires), 'sires'), effectiveOfSex(shares(dams), 'dams'));
}

/** Where a batch comes from, back to the broodstock, with the effective number of its breeders. */
export async function pedigreeView(
  { parts }: Desk,
  batchId: string,
  names: Names,
  stays: readonly Stay[],
): Promise<NamedPedigree> {
  const [origins, crosses, results] = [
    await parts.origins.list(),
    await parts.crosses.list(),
    await parts.spawnResults.list(),
  ];
  const pedigree = pedigreeOf(batchId, { stays }, { origins, crosses, results });
  const used = crosses.filter(({ id }) => pedigree.crosses.some((part) => part.id === id));
  const spawnsOf = (part: string): Named[] => {
    const from = used.filter(({ id, dams, sires }) => [id, ...dams, ...sires].includes(part));
    return [...new Set(from.map(({ spawnId }) => spawnId))].flatMap((id) => named(names, id) ?? []);
  };
  const withNames = (list: readonly Part[]): NamedPart[] =>
    list.map(({ id, share }) => ({
      id,
      share,
      name: names(id) ?? '',
      spawns: spawnsOf(id),
      takenAsEqual: pedigree.takenAsEqual.includes(id),
    }));
  return {
    effectiveBreeders: breedersOf(pedigree),
    batches: withNames(pedigree.batches),
    crosses: withNames(pedigree.crosses),
    dams: withNames(pedigree.dams),
    sires: withNames(pedigree.sires),
    unknown: pedigree.unknown,
  };
}
