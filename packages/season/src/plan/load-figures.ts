import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { speciesNames } from '@veligrid/imaging';
import { figureBook, parseFigures, type FigureBook, type FigurePreset } from '@veligrid/hatchery';

const require = createRequire(import.meta.url);

async function shipped(name: string): Promise<FigurePreset> {
  const file = require.resolve(`@veligrid/hatchery/presets/${name}.json`);
  return parseFigures(JSON.parse(await readFile(file, 'utf8')));
}

/**
 * Figures for a species: those for all species, those of this one, and over them the hatchery's own.
 *
 * @param own the hatchery's own figures, when it has any
 * @throws VeligridError `bad-argument` for a species that has none
 */
export async function loadFigures(species: string, own?: FigurePreset): Promise<FigureBook> {
  const presets = [await shipped('common'), await shipped(species)];
  return figureBook(presets, own === undefined ? [] : [own]);
}

/** Same; for a species that has none those for all species. */
export const loadFiguresOrCommon = async (species: string, own?: FigurePreset): Promise<FigureBook> =>
  (await speciesNames()).includes(species)
    ? loadFigures(species, own)
    : figureBook([await shipped('common')], own === undefined ? [] : [own]);
