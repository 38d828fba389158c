import { readFile } from 'node:fs/promises';
import { VeligridError } from '@veligrid/model';
import { parseFigures, type FigurePreset } from '@veligrid/hatchery';

/**
 * Reads the hatchery's own file of figures.
 *
 * @throws VeligridError `bad-argument` when it can not be read or used
 */
export async function readOwnFigures(file: string): Promise<FigurePreset> {
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
