import { readFile } from 'node:fs/promises';
import {
  loadSpecies,
  parseSpecies,
  parseStageRules,
  type StageRules,
  type StagingOptions,
} from '@veligrid/imaging/stage-files';
import { VeligridError, type SampleNotes } from '@veligrid/model';

/** What the command line says of stages and the sample. */
export interface StagingArguments {
  readonly rules?: string;
  /** Identifier of a preset, or a file that ends in .json. */
  readonly species?: string;
  readonly ageHours?: number;
  readonly sample?: SampleNotes['kind'];
  readonly fixative?: string;
  readonly buffered?: boolean;
}

/**
 * Reads a JSON file that a person named.
 *
 * @throws VeligridError `bad-argument` when it can't be read or is no JSON
 */
export async function readJson(path: string): Promise<unknown> {
  let text;
  try {
    text = await readFile(path, 'utf8');
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code ?? '';
    const reason = code === 'ENOENT' ? 'does not exist' : `could not be opened (${code})`;
    throw new VeligridError('bad-argument', `${path} ${reason}. Check the path.`, { cause: error });
  }
  try {
    return JSON.parse(text) as unknown;
  } catch (error) {
    throw new VeligridError('bad-argument', `${path} is not valid JSON. Write it again.`, { cause: error });
  }
}

/** Reads and checks a file of stage rules. */
export async function readRules(path: string): Promise<StageRules> {
  return parseStageRules(await readJson(path));
}

/** Everything that staging needs from the command line, read and checked. */
export async function readStaging(args: StagingArguments): Promise<StagingOptions> {
  const { rules, species = 'eastern-oyster', ageHours, sample = 'live', fixative, buffered } = args;
  const preset = species.endsWith('.json') ? parseSpecies(await readJson(species)) : await loadSpecies(species);
  return {
    species: preset,
    sample: {
      kind: sample,
      ...(fixative === undefined ? {} : { fixative }),
      ...(buffered === undefined ? {} : { buffered }),
      ...(ageHours === undefined ? {} : { ageHours }),
    },
    ...(rules === undefined ? {} : { rules: await readRules(rules) }),
  };
}
