import { say } from '../words/say.js';
import type { EntryField } from './entry-field.js';

/** What can be done with animals, those done most often first. */
export const MOVE_CHOICES = [
  'drop',
  'cull',
  'split',
  'merge',
  'stock',
  'set',
  'ship',
  'sample',
  'return',
  'discard',
] as const;
export type MoveChoice = (typeof MOVE_CHOICES)[number];

/** Names to suggest, and counts that a number may rest on. */
export interface MoveSuggestions {
  readonly tanks: readonly string[];
  readonly batches: readonly string[];
  /** Signed-off counts: id, with what is shown of it. */
  readonly counts: readonly { readonly value: string; readonly label: string }[];
}

/** Which ends of a move are known before anybody types: they are not asked. */
export interface MoveKnown {
  readonly tank: boolean;
  readonly batch: boolean;
}

/** Animals come into a tank from outside, or from what was left of a sample. */
export const comesIn = (kind: MoveChoice): boolean => kind === 'stock' || kind === 'return';

const goesToTank = (kind: MoveChoice): boolean => kind === 'split' || kind === 'merge' || kind === 'drop';

const some = (...fields: readonly (EntryField | false)[]): EntryField[] => fields.filter((one) => one !== false);

function endFields(kind: MoveChoice, { tanks, batches }: MoveSuggestions, known: MoveKnown): EntryField[] {
  const inward = comesIn(kind);
  return some(
    !inward && !known.tank && { name: 'from', label: say('move.from'), list: tanks, required: true },
    (goesToTank(kind) || (inward && !known.tank)) && {
      name: 'to',
      label: say('move.to'),
      list: tanks,
      required: true,
    },
    inward && !known.batch && { name: 'batch', label: say('move.batch'), list: batches, required: true },
    kind === 'merge' && {
      name: 'into_batch',
      label: say('move.into-batch'),
      hint: say('move.into-batch-hint'),
      list: batches,
      required: true,
    },
  );
}

function numberFields(kind: MoveChoice, { counts }: MoveSuggestions): EntryField[] {
  return some(
    counts.length > 0 && {
      name: 'count',
      label: say(kind === 'return' || kind === 'sample' ? 'move.which-sample' : 'move.count'),
      hint: say('move.count-hint'),
      as: 'choice',
      options: [{ value: '', label: say('move.no-count') }, ...counts],
    },
    { name: 'number', label: say('move.number'), hint: say('move.number-hint'), as: 'number' },
    { name: 'low', label: say('move.low'), hint: say('move.limit-hint'), as: 'number' },
    { name: 'high', label: say('move.high'), hint: say('move.limit-hint'), as: 'number' },
    !comesIn(kind) && kind !== 'sample' && { name: 'all', label: say('move.all'), as: 'yes' },
  );
}

const cultchFields = (): EntryField[] => [
  {
    name: 'cultch',
    label: say('move.cultch'),
    list: [say('cultch.whole'), say('cultch.micro')],
    required: true,
  },
  { name: 'shells', label: say('move.shells'), hint: say('begin.optional'), as: 'number' },
  { name: 'bags', label: say('move.bags'), hint: say('begin.optional'), as: 'number' },
];

/** What is asked for a kind of move. */
export function moveFields(kind: MoveChoice, suggestions: MoveSuggestions, known: MoveKnown): EntryField[] {
  return [
    ...endFields(kind, suggestions, known),
    ...numberFields(kind, suggestions),
    ...(kind === 'set' ? cultchFields() : []),
    ...some(
      kind !== 'return' && {
        name: 'screen_um',
        label: say('move.screen'),
        hint: say('begin.optional'),
        unit: 'µm',
        as: 'number',
      },
      { name: 'place', label: say(kind === 'stock' ? 'move.came-from' : 'move.place'), hint: say('begin.optional') },
      { name: 'at', label: say('entry.at'), hint: say('entry.at-hint'), as: 'time' },
      { name: 'note', label: say('entry.note'), hint: say('begin.optional') },
    ),
  ];
}
