import { SEXES, SPAWN_OUTCOMES } from '@veligrid/model';
import { checkNewName, find, type Desk } from '../desk.js';
import { field } from '../given.js';
import { AT, NOTE, timeOrNow, type Kind } from '../kind.js';
import { keepParents } from './parents.js';

/** Species that there are presets of. */
export const SPECIES = ['eastern-oyster', 'pacific-oyster', 'hard-clam'] as const;

const SPECIES_FIELD = field('species', 'species preset', { choices: SPECIES });

/** What a hatchery works with when nothing is said. */
export const USUAL_SPECIES = 'eastern-oyster';

export const ANIMAL: Kind = {
  name: 'animal',
  about: 'an animal that is kept to spawn',
  fields: [
    field('animal', 'its tag', { needed: 'always' }),
    SPECIES_FIELD,
    field('line', 'family or line'),
    field('origin', 'where it came from'),
    field('selected_for', 'traits it or its line was selected for'),
    field('sex', 'sex, once it is known', { choices: SEXES }),
    field('dam', 'tag of its mother'),
    field('sire', 'tag of its father'),
    NOTE,
  ],
  keep: async (given, desk) => {
    const name = given.name('animal');
    await checkNewName(desk, 'animal', name);
    const fields = {
      name,
      species: given.text('species') || USUAL_SPECIES,
      line: given.text('line'),
      origin: given.text('origin'),
      selectedFor: given.text('selected_for'),
      sex: given.choice('sex', SEXES, 'unknown'),
      note: given.text('note'),
      active: true,
    };
    const animal = await desk.parts.broodstock.add(fields, { by: desk.by });
    if (given.has('dam') || given.has('sire')) await keepParents(given, desk, animal.id);
    return animal;
  },
};

export const SPAWN: Kind = {
  name: 'spawn',
  about: 'animals brought to spawn together',
  fields: [
    field('spawn', 'what it is called', { needed: 'always' }),
    SPECIES_FIELD,
    { ...AT, about: 'when the cue was given (default: now)' },
    field('ended_at', 'when it was over'),
    field('ambient_c', 'water the animals were kept in, degrees Celsius'),
    field('raised_c', 'water they were brought to, degrees Celsius'),
    field('cue', 'what made them spawn'),
    NOTE,
  ],
  keep: async (given, desk) => {
    const name = given.name('spawn');
    await checkNewName(desk, 'spawn', name);
    const fields = {
      name,
      species: given.text('species') || USUAL_SPECIES,
      happenedAt: timeOrNow(given, desk),
      endedAt: given.maybeTime('ended_at'),
      ambientC: given.maybeNumber('ambient_c'),
      raisedC: given.maybeNumber('raised_c'),
      cue: given.text('cue'),
      note: given.text('note'),
    };
    return desk.parts.spawns.append(fields, { by: desk.by });
  },
};

/** The sex of an animal becomes known by what it releases. */
async function noteSex(
  { parts, by }: Desk,
  animalId: string,
  sex: (typeof SEXES)[number],
  spawn: string,
): Promise<void> {
  const animal = await parts.broodstock.get(animalId);
  if (animal === null || sex === 'unknown' || animal.sex === sex) return;
  await parts.broodstock.change(animal.id, animal.revision, { sex }, { by, why: `seen in spawn ${spawn}` });
}

export const SPAWN_RESULT: Kind = {
  name: 'spawn-result',
  about: 'what one animal did in a spawn',
  fields: [
    field('spawn', 'spawn', { needed: 'always' }),
    field('animal', 'its tag', { needed: 'always' }),
    AT,
    field('outcome', 'what it did', { choices: SPAWN_OUTCOMES }),
    field('sex', 'sex by what it released', { choices: SEXES }),
    field('gamete_ml', 'eggs in water, or sperm, mL'),
    field('gametes', 'eggs or sperm counted in it'),
    NOTE,
  ],
  keep: async (given, desk) => {
    const spawn = await find(desk, 'spawn', given.name('spawn'));
    const animal = await find(desk, 'animal', given.name('animal'));
    const sex = given.choice('sex', SEXES, animal.sex);
    const fields = {
      spawnId: spawn.id,
      animalId: animal.id,
      happenedAt: timeOrNow(given, desk),
      outcome: given.choice('outcome', SPAWN_OUTCOMES, 'spawned'),
      sex,
      gameteMl: given.maybeNumber('gamete_ml'),
      gametes: given.maybeNumber('gametes'),
      note: given.text('note'),
    };
    await noteSex(desk, animal.id, sex, spawn.name);
    return desk.parts.spawnResults.append(fields, { by: desk.by });
  },
};

async function animalIds(desk: Desk, tags: readonly string[]): Promise<string[]> {
  const ids: string[] = [];
  for (const tag of tags) ids.push((await find(desk, 'animal', tag)).id);
  return ids;
}

export const CROSS: Kind = {
  name: 'cross',
  about: 'eggs fertilised together',
  fields: [
    field('cross', 'what it is called', { needed: 'always' }),
    field('spawn', 'spawn', { needed: 'always' }),
    { ...AT, about: 'when eggs and sperm met (default: now)' },
    field('dams', 'tags of the animals that gave eggs, with ; between them', { needed: 'always' }),
    field('sires', 'tags of the animals that gave sperm, with ; between them', { needed: 'always' }),
    field('pooled_sperm', 'sperm of several males was mixed before', { yesNo: true }),
    field('eggs', 'eggs'),
    field('sperm', 'sperm'),
    NOTE,
  ],
  keep: async (given, desk) => {
    const name = given.name('cross');
    await checkNewName(desk, 'cross', name);
    const spawn = await find(desk, 'spawn', given.name('spawn'));
    const fields = {
      spawnId: spawn.id,
      name,
      happenedAt: timeOrNow(given, desk),
      dams: await animalIds(desk, given.list('dams')),
      sires: await animalIds(desk, given.list('sires')),
      pooledSperm: given.yes('pooled_sperm'),
      eggs: given.maybeNumber('eggs'),
      sperm: given.maybeNumber('sperm'),
      note: given.text('note'),
    };
    return desk.parts.crosses.append(fields, { by: desk.by });
  },
};
