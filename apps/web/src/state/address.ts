/** What the address says: one screen with what is open on it. Kept after the `#`, so that no server needs to know it. */
export type Place =
  | { readonly screen: 'counts' | 'begin' | 'calibration' | 'rules' | 'settings' | 'sign-in' }
  | { readonly screen: 'photos' | 'sign-off' | 'print'; readonly count: string }
  | { readonly screen: 'slide'; readonly count: string; readonly photo: string | null; readonly larva: string | null }
  | { readonly screen: 'rows' | 'lengths'; readonly count: string; readonly show: string | null };

/** A place inside one count. */
export type PlaceOfCount = Extract<Place, { readonly count: string }>;

const ALONE = ['counts', 'begin', 'calibration', 'rules', 'settings', 'sign-in'] as const;
const OF_COUNT = ['photos', 'sign-off', 'print'] as const;

const isOneOf = <T extends string>(list: readonly T[], text: string | undefined): text is T =>
  (list as readonly (string | undefined)[]).includes(text);

function placeOfCount(count: string, parts: readonly string[]): Place {
  const [screen, first, second] = parts;
  if (screen === 'slide') return { screen, count, photo: first ?? null, larva: second ?? null };
  if (screen === 'rows' || screen === 'lengths') return { screen, count, show: first ?? null };
  return { screen: isOneOf(OF_COUNT, screen) ? screen : 'photos', count };
}

/** Reads `#/count/7/slide/photo-id/12`; whatever it does not know leads to the list of counts. */
export function readAddress(hash: string): Place {
  const parts = hash
    .replace(/^#?\/?/, '')
    .split('/')
    .filter((part) => part !== '')
    .map((part) => decodeURIComponent(part));
  const [first, count, ...rest] = parts;
  if (first === 'count' && count !== undefined) return placeOfCount(count, rest);
  return { screen: isOneOf(ALONE, first) ? first : 'counts' };
}

function partsOf(place: Place): readonly (string | null)[] {
  if (!('count' in place)) return [place.screen];
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
