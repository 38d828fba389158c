import type { OpenSample } from '../state/open-sample.js';

/** What photos show: the drawn fields that are left, in order; none of them; or one, by its name. */
export const IN_ORDER = 'in-order';
export const NO_FIELD = 'none';

/** Drawn fields without a photo, in the order of the way over the cell. */
export function fieldsLeft({ sample, photos }: Pick<OpenSample, 'sample' | 'photos'>): string[] {
  const done = new Set(photos.value.filter(({ state }) => state !== 'cancelled').map(({ field }) => field));
  return (sample.value?.fields?.fields ?? []).map(({ name }) => name).filter((name) => !done.has(name));
}

/** The drawn field that each of some photos shows, or null. */
export function shownFields(files: number, shows: string, left: readonly string[]): (string | null)[] {
  const first = shows === IN_ORDER ? 0 : left.indexOf(shows);
  return Array.from({ length: files }, (_, i) => {
    const isOne = shows === IN_ORDER || (first >= 0 && i === 0);
    return isOne ? (left[first + i] ?? null) : null;
  });
}
