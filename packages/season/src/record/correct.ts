import { kinships } from '@veligrid/hatchery';
import { SEXES, VeligridError } from '@veligrid/model';
import type { SeasonEntry, SeasonParts } from '@veligrid/storage';
import { animalLog, type Correcting } from './animal-log.js';
import { ledgerOf, type Desk } from './desk.js';
import { ISO_FORMATS } from './formats.js';
import { Given } from './given.js';
import { housePedigree } from './house-pedigree.js';
import { SPECIES } from './kinds/broodstock.js';

/** Kinds of entries that can be corrected and taken back. */
export const CORRECTABLE = [
  'animal',
  'parents',
  'spawn',
  'spawn-result',
  'cross',
  'sperm-check',
  'batch-origin',
  'move',
  'culture-reading',
  'ration',
  'water',
  'setting',
  'spat-count',
] as const;
export type Correctable = (typeof CORRECTABLE)[number];

/** The log of each, with the number, time, text and choice fields that can be corrected. */
const LOGS: Readonly<Record<Correctable, readonly [keyof SeasonParts, readonly string[]]>> = {
  animal: ['broodstock', ['name', 'sex', 'species', 'line', 'origin', 'selectedFor', 'note']],
  parents: ['parents', ['happenedAt', 'dam', 'sire', 'note']],
  spawn: ['spawns', ['happenedAt', 'endedAt', 'ambientC', 'raisedC', 'cue', 'note']],
  'spawn-result': ['spawnResults', ['happenedAt', 'gameteMl', 'gametes', 'note']],
  cross: ['crosses', ['name', 'happenedAt', 'eggs', 'sperm', 'note']],
  'sperm-check': ['spermChecks', ['happenedAt', 'attachedPerEgg', 'eggs', 'note']],
  'batch-origin': ['origins', ['eggs', 'note']],
  move: ['moves', ['happenedAt', 'number', 'low', 'high', 'screenUm', 'place', 'note']],
  'culture-reading': ['cultureReadings', ['happenedAt', 'litres', 'cellsPerMl', 'note']],
  ration: ['rations', ['happenedAt', 'litres', 'cellsPerMl', 'note']],
  water: ['waterNotes', ['happenedAt', 'temperatureC', 'salinityPpt', 'ph', 'oxygenMgL', 'note']],
  setting: ['settingEvents', ['happenedAt', 'larvae', 'cultch', 'shells', 'bags', 'note']],
  'spat-count': ['spatCounts', ['happenedAt', 'shells', 'spat', 'note']],
};

const TEXTS = ['line', 'origin', 'selectedFor', 'dam', 'sire', 'cue', 'cultch', 'place', 'note'];
const CHOICES: Readonly<Record<string, readonly string[]>> = { sex: SEXES, species: SPECIES };

/** An entry to be corrected or taken back. */
export interface EntryToCorrect {
  readonly what: Correctable;
  readonly id: string;
  /** The version that the corrector saw; the last one when left out. */
  readonly version?: number;
  /** Why, in a sentence. */
  readonly why: string;
}

/** @throws VeligridError `bad-argument` when nothing of this name can be corrected */
export function correctableOf(what: string): Correctable {
  const found = CORRECTABLE.find((kind) => kind === what);
  if (found !== undefined) return found;
  throw new VeligridError(
    'bad-argument',
    `There is nothing to correct called "${what}": give one of ${CORRECTABLE.join(', ')}.`,
  );
}

const logOf = (desk: Desk, what: Correctable): Correcting<object> =>
  (what === 'animal' ? animalLog(desk) : desk.parts[LOGS[what][0]]) as unknown as Correcting<object>;

const sqlish = (key: string): string => key.replace(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`);

/** An entry as it stands, with what can be said anew of it. */
export interface StandingEntry {
  readonly id: string;
  readonly version: number;
  /** Text by field, as `at` or `screen_um`; empty for what is not known. */
  readonly fields: Readonly<Record<string, string>>;
  /** What was said, first to last. */
  readonly versions: readonly {
    readonly by: string;
    readonly at: string;
    readonly why: string | null;
    readonly withdrawn: boolean;
    readonly fields: Readonly<Record<string, string>>;
  }[];
}

function textsOf(what: Correctable, entry: object): Record<string, string> {
  const values = entry as Readonly<Record<string, string | number | null>>;
  return Object.fromEntries(
    LOGS[what][1].map((key) => [key === 'happenedAt' ? 'at' : sqlish(key), String(values[key] ?? '')]),
  );
}

/** An entry as it stands with all that was said of it; null when there is none. */
export async function standingEntry(desk: Desk, what: Correctable, id: string): Promise<StandingEntry | null> {
  const versions = await logOf(desk, what).versions(id);
  const last = versions.at(-1);
  if (last === undefined) return null;
  return {
    id,
    version: last.version,
    fields: textsOf(what, last),
    versions: versions.map((one) => {
      const { by, at, why, withdrawn } = one;
      return { by, at, why, withdrawn, fields: textsOf(what, one) };
    }),
  };
}

/** A field with its value; an empty text takes a value away. */
function changed(what: Correctable, name: string, value: string): readonly [string, string | number | null] {
  const known: readonly string[] = LOGS[what][1];
  const key = known.find((one) => sqlish(one) === name || (one === 'happenedAt' && name === 'at'));
  if (key === undefined) {
    const names = known.map((one) => (one === 'happenedAt' ? 'at' : sqlish(one))).join(', ');
    throw new VeligridError(
      'bad-argument',
      `"${name}=${value}" changes nothing: give FIELD=VALUE with a field of ${names}.`,
    );
  }
  const given = new Given(new Map([[name, value]]), ISO_FORMATS);
  const choices = CHOICES[key];
  if (choices !== undefined) return [key, given.choice(name, choices)];
  if (key === 'name') return [key, given.name(name)];
  if (TEXTS.includes(key)) return [key, given.text(name)];
  return [key, key.endsWith('At') ? given.maybeTime(name) : given.maybeNumber(name)];
}

/** Does something to what is recorded; refused when moves or counts that were possible no longer are. */
async function stillPossible<T>(desk: Desk, work: () => Promise<T>): Promise<T> {
  const before = (await ledgerOf(desk)).ledger.refused.map(({ id }) => id);
  const answer = await work();
  // refuses an animal that is its own ancestor
  kinships((await housePedigree(desk.parts)).pedigree);
  const broken = (await ledgerOf(desk)).ledger.refused.find(({ id }) => !before.includes(id));
  if (broken === undefined) return answer;
  const message = `After that something recorded could not have happened: ${broken.why} (${broken.id}). Correct that first.`;
  throw new VeligridError('refused', message);
}

async function lastVersion(log: Correcting<object>, { what, id, version }: EntryToCorrect): Promise<number> {
  if (version !== undefined) return version;
  const last = (await log.versions(id)).at(-1);
  if (last === undefined) throw new VeligridError('bad-argument', `There is no ${what} with the id ${id}.`);
  return last.version;
}

/**
 * Says some fields of an entry anew; what was said before stays in the record.
 *
 * @param changes text by field, as `at`, `number` or `screen_um`; an empty text takes a value away
 * @throws VeligridError `changed-meanwhile`, or `refused` when something recorded could not have happened after it
 */
export async function correctEntry(
  desk: Desk,
  entry: EntryToCorrect,
  changes: ReadonlyMap<string, string>,
): Promise<SeasonEntry<object>> {
  const { what, id, why } = entry;
  const fields = Object.fromEntries([...changes].map(([name, value]) => changed(what, name, value)));
  const log = logOf(desk, what);
  const version = await lastVersion(log, entry);
  return stillPossible(desk, () => log.correct(id, version, fields, { by: desk.by, why }));
}

/** Takes back an entry that never happened. @throws VeligridError like `correctEntry` */
export async function takeBackEntry(desk: Desk, entry: EntryToCorrect): Promise<void> {
  const log = logOf(desk, entry.what);
  const version = await lastVersion(log, entry);
  await stillPossible(desk, () => log.withdraw(entry.id, version, { by: desk.by, why: entry.why }));
}
