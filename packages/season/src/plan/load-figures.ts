import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { badArgument } from '@veligrid/model';
import { speciesNames } from '@veligrid/imaging';
import { figureBook, parseFigures, type FigureBook, type FigurePreset } from '@veligrid/hatchery';

const require = createRequire(import.meta.url);

async function shipped(name: string): Promise<FigurePreset> {
  const file = require.resolve(`@veligrid/hatchery/presets/${name}.json`);
  return parseFigures(JSON.parse(await readFile(file, 'utf8')));
}

/**
 * Presets that come with the program: those for all species, then those of this one.
 *
 * @throws VeligridError `bad-argument` for a species that has none
 */
export async function shippedPresets(species: string): Promise<readonly FigurePreset[]> {
  const known = await speciesNames();
  if (!known.includes(species)) throw badArgument('species', `one of ${known.join(', ')}`, species);
  return [await shipped('common'), await shipped(species)];
}

/**
 * Figures for a species: the shipped ones, and over them the hatchery's own.
 *
 * @param own the hatchery's own figures, when it has any; of several the last wins
 */
export const loadFigures = async (species: string, own: readonly FigurePreset[] = []): Promise<FigureBook> =>
  figureBook(await shippedPresets(species), own);

/** Same; for a species that has none those for all species. */
export const loadFiguresOrCommon = async (species: string, own: readonly FigurePreset[] = []): Promise<FigureBook> =>
  (await speciesNames()).includes(species) ? loadFigures(species, own) : figureBook([await shipped('common')], own);
