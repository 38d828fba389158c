import { readdir, readFile } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { VeligridError } from '@veligrid/model';
import { matchPhoto } from './match.js';
import { readPrediction, type Prediction } from './read-prediction.js';
import { readTruth, type Truth } from './read-truth.js';
import { Tally, type Agreement } from './tally.js';

/** Agreement by group (suite of drawn slides, else folder) in order of name, then of all. */
export interface Report {
  readonly groups: readonly (readonly [string, Agreement])[];
  readonly all: Agreement;
}

async function jsonFiles(folder: string): Promise<string[]> {
  try {
    const names = await readdir(folder, { recursive: true });
    return names.filter((name) => name.endsWith('.json')).sort((a, b) => (a < b ? -1 : 1));
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code ?? '';
    const reason =
      code === 'ENOENT' ? 'does not exist' : code === 'ENOTDIR' ? 'is not a folder' : `could not be opened (${code})`;
    throw new VeligridError('bad-argument', `${folder} ${reason}. Name a folder of JSON files.`, { cause: error });
  }
}

async function parse(path: string): Promise<unknown> {
  const content = await readFile(path, 'utf8');
  try {
    return JSON.parse(content) as unknown;
  } catch (error) {
    throw new VeligridError('bad-argument', `${path} is not valid JSON. Write it again, or remove it.`, {
      cause: error,
    });
  }
}

const baseOf = (name: string): string => basename(name, '.json');

/** Predictions by their path below the folder and, where that is unique, by their name alone. */
async function readPredictions(folder: string): Promise<(name: string) => Prediction | null> {
  const byPath = new Map<string, Prediction>();
  const byBase = new Map<string, Prediction | null>();
  for (const name of await jsonFiles(folder)) {
    const prediction = readPrediction(await parse(join(folder, name)));
    if (prediction === null) continue;
    byPath.set(name, prediction);
    byBase.set(baseOf(name), byBase.has(baseOf(name)) ? null : prediction);
  }
  return (name) => byPath.get(name) ?? byBase.get(baseOf(name)) ?? null;
}

function groupOf(truth: Truth, name: string): string {
  if (truth.suite !== null) return truth.suite;
  return dirname(name) === '.' ? 'photos' : dirname(name);
}

/**
 * Scores count files against truth files of the same names.
 *
 * @param predictionFolder folder of count files, searched at any depth
 * @param truthFolder folder of truth files, searched at any depth
 * @throws VeligridError `bad-argument` for a folder that can't be read or holds no truth, or a file that is not JSON
 */
export async function scoreFolders(predictionFolder: string, truthFolder: string): Promise<Report> {
  const predictionOf = await readPredictions(predictionFolder);
  const tallies = new Map<string, Tally>();
  const all = new Tally();
  for (const name of await jsonFiles(truthFolder)) {
    const truth = readTruth(await parse(join(truthFolder, name)));
    if (truth === null) continue;
    const prediction = predictionOf(name);
    const match = matchPhoto(truth, prediction ?? { umPerPx: null, objects: [] });
    const group = groupOf(truth, name);
    const tally = tallies.get(group) ?? new Tally();
    tallies.set(group, tally);
    for (const one of [tally, all]) one.add(truth, prediction, match);
  }
  if (tallies.size === 0) {
    throw new VeligridError(
      'bad-argument',
      `No truth found in ${truthFolder}. Name a folder of confirmed count files.`,
    );
  }
  const names = [...tallies.keys()].sort((a, b) => (a < b ? -1 : 1));
  return { groups: names.map((name) => [name, (tallies.get(name) ?? all).result()]), all: all.result() };
}
