import { kinships } from '@veligrid/hatchery';
import { VeligridError, type ParentageFields } from '@veligrid/model';
import type { SeasonEntry } from '@veligrid/storage';
import { find, type Desk } from '../desk.js';
import { field, type Given } from '../given.js';
import { housePedigree } from '../house-pedigree.js';
import { AT, NOTE, timeOrNow, type Kind } from '../kind.js';

/**
 * Keeps the parents of an animal.
 *
 * @throws VeligridError `bad-argument` when none is given, `refused` when they are recorded already or can't be
 */
export async function keepParents(given: Given, desk: Desk, animalId: string): Promise<SeasonEntry<ParentageFields>> {
  const [dam, sire] = [given.text('dam'), given.text('sire')];
  if (dam === '' && sire === '') throw new VeligridError('bad-argument', 'dam and sire are missing: give one or both.');
  if ((await desk.parts.parents.list()).some((one) => one.animalId === animalId)) {
    throw new VeligridError('refused', 'Parents of this animal are recorded already. Correct them there.');
  }
  const fields = { animalId, happenedAt: timeOrNow(given, desk), dam, sire, note: given.text('note') };
  const kept = await desk.parts.parents.append(fields, { by: desk.by });
  // refuses an animal that is its own ancestor
  kinships((await housePedigree(desk.parts)).pedigree);
  return kept;
}

export const PARENTS: Kind = {
  name: 'parents',
  about: 'mother and father of an animal, as far as they are known; they may be animals that were never here',
  fields: [
    field('animal', 'its tag', { needed: 'always' }),
    field('dam', 'tag of its mother'),
    field('sire', 'tag of its father'),
    { ...AT, about: 'when it was learned (default: now)' },
    NOTE,
  ],
  keep: async (given, desk) => keepParents(given, desk, (await find(desk, 'animal', given.name('animal'))).id),
};

export const SPERM_CHECK: Kind = {
  name: 'sperm-check',
  about: 'sperm seen attached to the eggs of a cross, under the microscope',
  fields: [
    field('cross', 'cross', { needed: 'always' }),
    AT,
    field('attached_per_egg', 'sperm attached to an egg, on average', { needed: 'always' }),
    field('eggs', 'eggs looked at'),
    NOTE,
  ],
  keep: async (given, desk) => {
    const { id: crossId } = await find(desk, 'cross', given.name('cross'));
    const fields = {
      crossId,
      happenedAt: timeOrNow(given, desk),
      attachedPerEgg: given.number('attached_per_egg'),
      eggs: given.has('eggs') ? given.whole('eggs') : null,
      note: given.text('note'),
    };
    return desk.parts.spermChecks.append(fields, { by: desk.by });
  },
};
