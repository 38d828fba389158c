import type { Stage } from '@veligrid/model';

/** Stages that have a key of their own from the start; the others get one in the settings or are chosen by arrow keys. */
const STAGE_KEYS: Readonly<Partial<Record<Stage, string>>> = {
  egg: '1',
  'fertilised-egg': '2',
  trochophore: '3',
  'd-larva': '4',
  umbo: '5',
  eyed: '6',
  pediveliger: '7',
  'empty-shell': '8',
  dead: '9',
  debris: '0',
  unsure: 'q',
};

const ACT_KEYS = {
  'next-look': 'n',
  'previous-look': 'b',
  'right-as-is': 'g',
  remove: 'x',
  add: 'a',
  split: 'c',
  join: 'j',
  redraw: 'r',
  'change-form': 'f',
  undo: 'u',
  redo: 'i',
  'hide-outlines': 'h',
  'hide-while-held': 'v',
  'only-look': 'l',
  ruler: 'm',
  'to-larva': 'e',
  'whole-slide': 'w',
} as const;

/** Everything that a single key does. */
export type Act = keyof typeof ACT_KEYS | `stage:${Stage}`;

/** Which act a key does, by act; a missing act has no key. */
export type KeyChoices = Readonly<Partial<Record<Act, string>>>;

/** Keys as shipped. */
export const STARTING_KEYS: KeyChoices = {
  ...ACT_KEYS,
  ...Object.fromEntries(Object.entries(STAGE_KEYS).map(([stage, key]) => [`stage:${stage}`, key])),
};

/** The part of a keyboard event that says what was pressed. */
export interface Pressed {
  readonly key: string;
  readonly ctrlKey: boolean;
  readonly metaKey: boolean;
  readonly altKey: boolean;
  readonly shiftKey: boolean;
}

/** Keys with Ctrl (or the command key) and named keys, which stay also when one-letter keys are off. */
function fixedAct({ key, ctrlKey, metaKey, shiftKey }: Pressed): Act | null {
  const command = ctrlKey || metaKey;
  if (command && key.toLowerCase() === 'z') return shiftKey ? 'redo' : 'undo';
  if (command && key.toLowerCase() === 'y') return 'redo';
  return !command && key === 'Delete' ? 'remove' : null;
}

/**
 * What a pressed key does, or null.
 *
 * @param letters whether one-letter keys are on
 */
export function actOf(pressed: Pressed, choices: KeyChoices, letters: boolean): Act | null {
  if (pressed.altKey) return null;
  const fixed = fixedAct(pressed);
  if (fixed !== null) return fixed;
  if (!letters || pressed.ctrlKey || pressed.metaKey) return null;
  const found = Object.entries(choices).find(([, key]) => key === pressed.key.toLowerCase());
  return found === undefined ? null : (found[0] as Act);
}

/** Gives an act another key and takes that key from whatever had it; an empty key leaves the act without one. */
export function withKey(choices: KeyChoices, act: Act, key: string): KeyChoices {
  const wanted = key.trim().toLowerCase().slice(0, 1);
  const others = Object.entries(choices).filter(([other, has]) => other !== act && has !== wanted);
  return { ...Object.fromEntries(others), ...(wanted === '' ? {} : { [act]: wanted }) };
}
