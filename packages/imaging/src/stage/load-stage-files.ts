import { readdir, readFile } from 'node:fs/promises';
import { VeligridError } from '@veligrid/model';
import { parseStageRules, type StageRules } from './rules/stage-rules.js';
import { parseSpecies, type SpeciesPreset } from './species.js';

const rulesFile = new URL('../../rules/starting.json', import.meta.url);
const presets = new URL('../../presets/', import.meta.url);

/** The committed starting rules. */
export async function loadStartingRules(): Promise<StageRules> {
  return parseStageRules(JSON.parse(await readFile(rulesFile, 'utf8')));
}

/** Identifiers of the committed species presets, sorted. */
export async function speciesNames(): Promise<string[]> {
  const files = await readdir(presets);
  return files
    .filter((name) => name.endsWith('.json'))
    .map((name) => name.slice(0, -'.json'.length))
    .sort();
}

/**
 * A committed species preset.
 *
 * @param species identifier, for example `eastern-oyster`
 * @throws VeligridError `bad-argument` naming those that exist
 */
export async function loadSpecies(species: string): Promise<SpeciesPreset> {
  const names = await speciesNames();
  if (!names.includes(species)) {
    throw new VeligridError(
      'bad-argument',
      `There is no species preset "${species}". Choose one of: ${names.join(', ')}.`,
    );
  }
  return parseSpecies(JSON.parse(await readFile(new URL(`${species}.json`, presets), 'utf8')));
}
