import type { Detection } from '@veligrid/model';
import { isAnimal, type ReviewedObject, type ReviewedPhoto } from '@veligrid/review';
import { reasonToLook } from './needs-look.js';

/** One object of a count with the photo it lies in. */
export interface Larva {
  /** Photo and object: unique in the count. */
  readonly key: string;
  readonly photo: string;
  readonly object: ReviewedObject;
  readonly found: Detection | undefined;
  readonly needsLook: boolean;
  /** Belongs to the counted area, and counts by its stage. */
  readonly inCount: boolean;
}

function larvaeOfPhoto(photo: string, { count, objects, squares, rejected }: ReviewedPhoto): Larva[] {
  const found = new Map(count.detections.map((one) => [one.id, one]));
  return objects.map((object) => {
    const original = found.get(object.id);
    const inArea =
      squares === null ? original?.inArea !== false : object.square !== null && squares.includes(object.square);
    return {
      key: `${photo} ${object.id}`,
      photo,
      object,
      found: original,
      needsLook: reasonToLook(object, original) !== null,
      inCount: rejected === null && object.counted && inArea,
    };
  });
}

/** Every object of every photo of a count. */
export const allLarvae = (reviewed: ReadonlyMap<string, ReviewedPhoto>): Larva[] =>
  [...reviewed].flatMap(([photo, one]) => larvaeOfPhoto(photo, one));

/** Which larvae a page shows: a range of lengths, a stage, or all. */
export type Filter =
  | { readonly kind: 'all' }
  | { readonly kind: 'length'; readonly fromUm: number; readonly toUm: number }
  | { readonly kind: 'stage'; readonly stage: string };

/** Reads `um-200-210` or `stage-umbo` of an address; anything else shows all. */
export function readFilter(text: string | null): Filter {
  const range = /^um-(\d+(?:\.\d+)?)-(\d+(?:\.\d+)?)$/.exec(text ?? '');
  if (range !== null) return { kind: 'length', fromUm: Number(range[1]), toUm: Number(range[2]) };
  const stage = /^stage-(.+)$/.exec(text ?? '');
  return stage?.[1] === undefined ? { kind: 'all' } : { kind: 'stage', stage: stage[1] };
}

/** Writes a filter for an address; null for all. */
export function writeFilter(filter: Filter): string | null {
  if (filter.kind === 'length') return `um-${filter.fromUm}-${filter.toUm}`;
  return filter.kind === 'stage' ? `stage-${filter.stage}` : null;
}

/** Whether a larva passes a filter; a length from `fromUm` on and below `toUm`. */
export function passes({ object }: Larva, filter: Filter): boolean {
  if (filter.kind === 'stage') return object.stage === filter.stage;
  if (filter.kind === 'all') return true;
  return object.lengthUm !== null && object.lengthUm >= filter.fromUm && object.lengthUm < filter.toUm;
}

/** Eggs, embryos and larvae only. */
export const isLarva = ({ object }: Larva): boolean => isAnimal(object.stage);
