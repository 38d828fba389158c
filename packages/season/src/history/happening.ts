import type { Limits } from '@veligrid/estimation';
import { factsText, type Fact } from './fact.js';
import type { Named } from './house-names.js';

/** What can happen to a batch, as programs name it. */
export const HAPPENINGS = [
  'spawn',
  'spawned',
  'stripped',
  'did-not-spawn',
  'left-out',
  'cross',
  'batch-begun',
  'stocked',
  'split',
  'merged',
  'dropped',
  'culled',
  'taken-in-samples',
  'poured-back',
  'shipped',
  'put-to-set',
  'discarded',
  'counted',
  'sampled-open',
  'fed',
  'water',
  'setting-begun',
  'spat-counted',
  'planned',
] as const;
export type HappeningKind = (typeof HAPPENINGS)[number];

/** An entry of the record that something rests on: a sample, or what can be corrected. */
export interface EntryLink {
  readonly kind:
    | 'sample'
    | 'spawn'
    | 'spawn-result'
    | 'cross'
    | 'batch-origin'
    | 'move'
    | 'ration'
    | 'water'
    | 'setting'
    | 'spat-count'
    | 'plan';
  readonly id: string;
  /** The one that stands; 1 for samples, whose corrections are kept elsewhere, and for plans, which never change. */
  readonly version: number;
}

/** One thing in the history of a batch. */
export interface Happening {
  readonly at: string;
  readonly kind: HappeningKind;
  /** The same in a word or two: `stocked`, `batch begun`. */
  readonly what: string;
  readonly batch: Named | null;
  readonly tank: Named | null;
  /** Animals it is about; null when none were counted or moved. */
  readonly animals: Limits | number | null;
  readonly facts: readonly Fact[];
  /** The facts in a line of English. */
  readonly text: string;
  /** Who said it. */
  readonly by: string;
  /** Where it stands in the record. */
  readonly entries: readonly EntryLink[];
  /** Photos of a sample; 0 for all else. */
  readonly photos: number;
}

const WHAT: Readonly<Partial<Record<HappeningKind, string>>> = {
  'sampled-open': 'sampled, not signed off',
  planned: 'plan kept',
};

type Needed = Pick<Happening, 'at' | 'kind' | 'by' | 'entries'>;
type Left = Partial<Pick<Happening, 'batch' | 'tank' | 'animals' | 'facts' | 'photos'>>;

/** A happening with what is left out taken as nothing. */
export function happening({ facts = [], ...told }: Needed & Left): Happening {
  const what = WHAT[told.kind] ?? told.kind.replaceAll('-', ' ');
  return { batch: null, tank: null, animals: null, photos: 0, ...told, facts, what, text: factsText(facts) };
}

/** The link of an entry. */
export const linkOf = (
  kind: EntryLink['kind'],
  { id, version }: { readonly id: string; readonly version: number },
): EntryLink => ({ kind, id, version });
