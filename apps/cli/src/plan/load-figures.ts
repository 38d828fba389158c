import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { VeligridError } from '@veligrid/model';
import { figureBook, parseFigures, type FigureBook, type FigurePreset } from '@veligrid/hatchery';

const require = createRequire(import.meta.url);

async function shipped(name: string): Promise<FigurePreset> {
  const file = require.resolve(`@veligrid/hatchery/presets/${name}.json`);
  return parseFigures(JSON.parse(await readFile(file, 'utf8')));
}

async function own(file: string): Promise<FigurePreset> {
  let words: string;
  try {
    words = await readFile(file, 'utf8');
  } catch (cause) {
    throw new VeligridError('bad-argument', `${file} can not be read. Name your own file of figures with --figures.`, {
      cause,
    });
  }
  let parsed: unknown;
  try {
    parsed = JSON.parse(words.replace(/^\uFEFF/, ''));
  } catch (cause) {
    throw new VeligridError('bad-argument', `${file} is not JSON. Look for a missing comma, quote or bracket.`, {
      cause,
    });
  }
  return parseFigures(parsed);
}

/**
 * Figures for a species: those for all species, those of this one, and over them the hatchery's own.
 *
 * @param ownFile the hatchery's file of figures, when there is one
 * @throws VeligridError `bad-argument` when that file can not be read or used
 */
export async function loadFigures(species: string, ownFile?: string): Promise<FigureBook> {
  const presets = [await shipped('common'), await shipped(species)];
  return figureBook(presets, ownFile === undefined ? [] : [await own(ownFile)]);
}
