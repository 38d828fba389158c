import type { Decision } from '@veligrid/review';

/** Where text is kept between visits; `localStorage` in a browser. */
export interface Shelf {
  getItem(key: string): string | null;
  setItem(key: string, value: string): void;
  removeItem(key: string): void;
}

const keyOf = (count: string): string => `veligrid.waiting.${count}`;

/** Decisions of a count that the server has not confirmed yet, in the order they were made. */
export function readWaiting(shelf: Shelf, count: string): readonly Decision[] {
  const text = shelf.getItem(keyOf(count));
  if (text === null) return [];
  const value: unknown = JSON.parse(text);
  return Array.isArray(value) ? (value as Decision[]) : [];
}

function write(shelf: Shelf, count: string, decisions: readonly Decision[]): void {
  if (decisions.length === 0) shelf.removeItem(keyOf(count));
  else shelf.setItem(keyOf(count), JSON.stringify(decisions));
}

/** Keeps a decision until the server has it. Reads first what is there, as another tab may have added some. */
export function addWaiting(shelf: Shelf, count: string, decision: Decision): void {
  write(shelf, count, [...readWaiting(shelf, count), decision]);
}

/** Forgets decisions that the server has, or that were given up. */
export function dropWaiting(shelf: Shelf, count: string, ids: ReadonlySet<string>): void {
  write(
    shelf,
    count,
    readWaiting(shelf, count).filter(({ id }) => !ids.has(id)),
  );
}
