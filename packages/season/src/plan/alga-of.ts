/** Algae of the presets by how people write them; the first that fits. */
const ALGAE: readonly (readonly [RegExp, string])[] = [
  [/t[- ]?iso|tisochrysis/i, 't-iso'],
  [/isochrysis/i, 'isochrysis-galbana'],
  [/pavlova|diacronema/i, 'pavlova-lutheri'],
  [/calcitrans/i, 'chaetoceros-calcitrans'],
  [/m[u\u00fc]e?lleri|chaetoceros/i, 'chaetoceros-muelleri'],
  [/thalassiosira/i, 'thalassiosira-pseudonana'],
  [/skeletonema/i, 'skeletonema'],
  [/phaeodactylum/i, 'phaeodactylum'],
  [/dunaliella/i, 'dunaliella-tertiolecta'],
  [/tetraselmis/i, 'tetraselmis-suecica'],
];

/** The alga of the presets that a culture's species is; null when none is known. */
export const algaOf = (species: string): string | null => ALGAE.find(([is]) => is.test(species))?.[1] ?? null;
