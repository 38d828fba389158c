import type { Lane } from './lanes.js';
import { neighbour, rangeBetween } from './lanes.js';

/** What is selected: the larva that has the focus, where a range began, and all selected keys. */
export interface Selection {
  readonly focus: string | null;
  readonly anchor: string | null;
  readonly keys: ReadonlySet<string>;
}

export const NOTHING: Selection = { focus: null, anchor: null, keys: new Set() };

/** Only this one. */
export const only = (key: string): Selection => ({ focus: key, anchor: key, keys: new Set([key]) });

/** This one more, or no longer. */
function toggled({ keys }: Selection, key: string): Selection {
  const next = new Set(keys);
  if (!next.delete(key)) next.add(key);
  return { focus: key, anchor: key, keys: next };
}

/** Everything from where the range began to this one. */
function reached({ anchor }: Selection, lanes: readonly Lane[], key: string): Selection {
  const from = anchor ?? key;
  return { focus: key, anchor: from, keys: new Set(rangeBetween(lanes, from, key)) };
}

/** How a tap selects: one alone, one more, or up to here. */
export type Manner = 'one' | 'more' | 'range';

/** After a tap or click. */
export function pressed(selection: Selection, lanes: readonly Lane[], key: string, manner: Manner): Selection {
  if (manner === 'range') return reached(selection, lanes, key);
  return manner === 'more' ? toggled(selection, key) : only(key);
}

/** The part of a key event that matters. */
interface Pressed {
  readonly key: string;
  readonly shiftKey: boolean;
  readonly ctrlKey: boolean;
}

/** After a key; null when the key means nothing here. */
export function keyed(
  selection: Selection,
  lanes: readonly Lane[],
  { key, shiftKey, ctrlKey }: Pressed,
): Selection | null {
  if (ctrlKey && key.toLowerCase() === 'a') {
    const all = lanes.flatMap(({ larvae }) => larvae.map((larva) => larva.key));
    return { ...selection, keys: new Set(all) };
  }
  if (key === 'Escape') return { ...selection, keys: new Set() };
  if (key === ' ' && selection.focus !== null) return toggled(selection, selection.focus);
  if (!key.startsWith('Arrow')) return null;
  const next = neighbour(lanes, selection.focus ?? '', key);
  if (next === null) return selection;
  return shiftKey ? reached(selection, lanes, next) : only(next);
}
