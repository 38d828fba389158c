/** Screens that belong to nothing else and are named by one word, first in the address. */
const ALONE = ['counts', 'batches', 'spawns', 'by-eye', 'settings', 'sign-in'] as const;
/** Screens about one day, which the address may name: `#/morning/2026-05-06`. */
const OF_DAY = ['morning', 'feed'] as const;
/** Pages below the settings: `#/settings/tanks`. */
export const SETTING_PAGES = ['tanks', 'cultures', 'figures', 'calibration', 'rules', 'backups'] as const;
/** Screens about one thing, which the address names by its id: `#/batch/ID`. */
const ABOUT_ONE = ['batch', 'batch-report', 'tank', 'spawn', 'after', 'plan', 'setting'] as const;
const OF_COUNT = ['photos', 'sign-off', 'print'] as const;

/** What the address says: one screen with what is open on it. Kept after the `#`, so that no server needs to know it. */
export type Place =
  | { readonly screen: (typeof ALONE)[number] | (typeof SETTING_PAGES)[number] }
  /** A new count, of a batch when it is begun from there. */
  | { readonly screen: 'begin'; readonly batch?: string }
  /** All animals, with one of them marked. */
  | { readonly screen: 'animals'; readonly animal?: string }
  /** Null for today. */
  | { readonly screen: (typeof OF_DAY)[number]; readonly day: string | null }
  | { readonly screen: (typeof ABOUT_ONE)[number]; readonly id: string }
  | { readonly screen: (typeof OF_COUNT)[number]; readonly count: string }
  | { readonly screen: 'slide'; readonly count: string; readonly photo: string | null; readonly larva: string | null }
  | { readonly screen: 'rows' | 'lengths'; readonly count: string; readonly show: string | null };

/** A place inside one count. */
export type PlaceOfCount = Extract<Place, { readonly count: string }>;

/** The first page. */
export const START: Place = { screen: 'morning', day: null };

const isOneOf = <T extends string>(list: readonly T[], text: string | undefined): text is T =>
  (list as readonly (string | undefined)[]).includes(text);

/** Whether a screen stands below the settings, or is their first page. */
export const isOfSettings = (screen: Place['screen']): boolean =>
  screen === 'settings' || isOneOf(SETTING_PAGES, screen);

function placeOfCount(count: string, parts: readonly string[]): Place {
  const [screen, first, second] = parts;
  if (screen === 'slide') return { screen, count, photo: first ?? null, larva: second ?? null };
  if (screen === 'rows' || screen === 'lengths') return { screen, count, show: first ?? null };
  return { screen: isOneOf(OF_COUNT, screen) ? screen : 'photos', count };
}

/** A part of an address; one that was cut within a character stays as it is. */
function decoded(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}

/** Pages that stand alone, a few of which may name what they begin with. */
function placeAlone(first: string | undefined, second: string | undefined): Place | null {
  if (first === 'settings' && isOneOf(SETTING_PAGES, second)) return { screen: second };
  if (first === 'begin') return second === undefined ? { screen: first } : { screen: first, batch: second };
  if (first === 'animals') return second === undefined ? { screen: first } : { screen: first, animal: second };
  if (isOneOf(OF_DAY, first)) return { screen: first, day: second ?? null };
  return isOneOf(ALONE, first) ? { screen: first } : null;
}

/** Reads `#/count/7/slide/photo-id/12`; whatever it does not know leads to the first page. */
export function readAddress(hash: string): Place {
  const parts = hash
    .replace(/^#?\/?/, '')
    .split('/')
    .filter((part) => part !== '')
    .map(decoded);
  const [first, second, ...rest] = parts;
  const alone = placeAlone(first, second);
  if (alone !== null) return alone;
  if (second === undefined) return START;
  if (first === 'count') return placeOfCount(second, rest);
  return isOneOf(ABOUT_ONE, first) ? { screen: first, id: second } : START;
}

function partsOutside(place: Exclude<Place, PlaceOfCount>): readonly (string | null)[] {
  if ('id' in place) return [place.screen, place.id];
  if ('day' in place) return [place.screen, place.day];
  if ('batch' in place) return [place.screen, place.batch ?? null];
  if ('animal' in place) return [place.screen, place.animal ?? null];
  return isOneOf(SETTING_PAGES, place.screen) ? ['settings', place.screen] : [place.screen];
}

function partsOf(place: Place): readonly (string | null)[] {
  if (!('count' in place)) return partsOutside(place);
  switch (place.screen) {
    case 'slide':
      return ['count', place.count, 'slide', place.photo, place.larva];
    case 'rows':
    case 'lengths':
      return ['count', place.count, place.screen, place.show];
    case 'photos':
    case 'sign-off':
    case 'print':
      return ['count', place.count, place.screen];
  }
}

/** Writes a place as an address that `readAddress` reads back. */
export function writeAddress(place: Place): string {
  const parts = partsOf(place);
  const end = parts.indexOf(null);
  const known = (end < 0 ? parts : parts.slice(0, end)).filter((part) => part !== null);
  return `#/${known.map(encodeURIComponent).join('/')}`;
}
