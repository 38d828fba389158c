import type { EntryField } from '../entries/entry-field.js';
import { say, type Word } from '../words/say.js';

const SPECIES = ['eastern-oyster', 'pacific-oyster', 'hard-clam'] as const;
const SEXES = ['female', 'male', 'both', 'unknown'] as const;
const OUTCOMES = ['spawned', 'stripped', 'did-not-spawn', 'left-out'] as const;

/** A choice whose words begin with a name. */
const choices = (prefix: string, values: readonly string[]): { value: string; label: string }[] =>
  values.map((value) => ({ value, label: say(`${prefix}.${value}` as Word) }));

/** Species preset. */
const speciesField = (): EntryField => ({
  name: 'species',
  label: say('spawn.species'),
  as: 'choice',
  options: choices('species', SPECIES),
});

const sexField = (): EntryField => ({
  name: 'sex',
  label: say('spawn.sex'),
  as: 'choice',
  options: choices('sex', SEXES),
});

const outcomeField = (): EntryField => ({
  name: 'outcome',
  label: say('spawn.outcome'),
  as: 'choice',
  options: choices('outcome', OUTCOMES),
});

/** When it happened; empty means now. */
export const atField = (): EntryField => ({
  name: 'at',
  label: say('entry.at'),
  hint: say('entry.at-hint'),
  as: 'time',
});

export const noteField = (): EntryField => ({ name: 'note', label: say('entry.note'), hint: say('begin.optional') });

/** A line that may stay empty. */
export const maybe = (name: string, label: Word, more: Partial<EntryField> = {}): EntryField => ({
  name,
  label: say(label),
  hint: say('begin.optional'),
  ...more,
});

/** What is asked of an animal. */
export const animalFields = (tags: readonly string[], lines: readonly string[]): EntryField[] => [
  { name: 'animal', label: say('animal.tag'), required: true },
  sexField(),
  speciesField(),
  maybe('line', 'animal.line', { list: lines }),
  maybe('origin', 'animal.origin'),
  maybe('selected_for', 'animal.selected-for'),
  maybe('dam', 'animal.dam', { list: tags }),
  maybe('sire', 'animal.sire', { list: tags }),
  noteField(),
];

/** What is asked of a spawn. */
export const spawnFields = (): EntryField[] => [
  { name: 'spawn', label: say('spawn.name'), required: true },
  speciesField(),
  { ...atField(), label: say('spawn.cue-at') },
  { name: 'cue', label: say('spawn.cue'), hint: say('spawn.cue-hint') },
  maybe('ambient_c', 'spawn.ambient', { as: 'number', unit: '°C' }),
  maybe('raised_c', 'spawn.raised', { as: 'number', unit: '°C' }),
  noteField(),
];

/** What is asked of one animal in a spawn. */
export const resultFields = (tags: readonly string[]): EntryField[] => [
  { name: 'animal', label: say('animal.tag'), list: tags, required: true },
  outcomeField(),
  sexField(),
  maybe('gamete_ml', 'spawn.gamete-ml', { as: 'number', unit: 'mL' }),
  maybe('gametes', 'spawn.gametes', { as: 'number' }),
  atField(),
  noteField(),
];
