import type { PhotoFile } from './collect-photos.js';

const withoutEnding = (name: string): string => name.replace(/\.[^./]+$/, '');

/** Names that differ only in case are one file on many disks. */
const key = (name: string): string => name.toLowerCase();

/** Names that two or more photos share, or that a page of another photo could take. */
function clashes(names: readonly string[]): Set<string> {
  const counts = new Map<string, number>();
  for (const name of names) counts.set(key(name), (counts.get(key(name)) ?? 0) + 1);
  const twice = [...counts].filter(([, count]) => count > 1).map(([name]) => name);
  const pages = [...counts.keys()].filter((name) => {
    const page = /^(.*)-p\d+$/.exec(name);
    return page !== null && counts.has(page[1] ?? '');
  });
  return new Set([...twice, ...pages]);
}

/**
 * Names of the results of each photo, below the folder of results and without ending. The path below the given folder
 * is kept and the photo's ending left off; where two photos would share a name the ending stays, then the name of the
 * given folder goes before, and at last a number goes behind.
 *
 * @param photos in the order given
 * @returns one name per photo, no two alike on any disk
 */
export function outputNames(photos: readonly PhotoFile[]): string[] {
  let names = photos.map(({ name }) => withoutEnding(name));
  let taken = clashes(names);
  names = names.map((name, i) => (taken.has(key(name)) ? (photos[i]?.name ?? name) : name));
  taken = clashes(names);
  names = names.map((name, i) => (taken.has(key(name)) ? `${photos[i]?.folder ?? ''}/${name}` : name));
  const used = new Set<string>();
  return names.map((name) => {
    let unused = name;
    for (let number = 2; used.has(key(unused)); number++) unused = `${name}-${String(number)}`;
    used.add(key(unused));
    return unused;
  });
}

/** Name of one page's results: the photo's own when it has one page, with `-p` and the page from 1 when it has more. */
export function pageName(name: string, page: number, pages: number): string {
  return pages === 1 ? name : `${name}-p${String(page)}`;
}
