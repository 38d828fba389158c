import { checkNewName, find, type Desk } from '../desk.js';
import { field, type Given } from '../given.js';
import { NOTE, type Kind } from '../kind.js';
import { USUAL_SPECIES } from './broodstock.js';

interface Origin {
  readonly crossId: string;
  readonly happenedAt: string;
  readonly eggs: number;
}

async function originsOf(given: Given, desk: Desk): Promise<Origin[]> {
  const origins: Origin[] = [];
  for (const [name, eggs] of given.numbered('crosses')) {
    const { id, happenedAt } = await find(desk, 'cross', name);
    origins.push({ crossId: id, happenedAt, eggs });
  }
  return origins;
}

export const BATCH: Kind = {
  name: 'batch',
  about: 'larvae that are kept as one',
  fields: [
    field('batch', 'what it is called', { needed: 'always' }),
    field('species', 'species preset', { choices: ['eastern-oyster', 'pacific-oyster', 'hard-clam'] }),
    field('spawned_at', 'when eggs and sperm met (default: that of its first cross)'),
    field('crosses', 'crosses with the eggs of each in it, CROSS=EGGS with ; between them'),
    NOTE,
  ],
  keep: async (given, desk) => {
    const name = given.name('batch');
    await checkNewName(desk, 'batch', name);
    const { parts, by } = desk;
    const origins = await originsOf(given, desk);
    const first = origins.map(({ happenedAt }) => happenedAt).toSorted()[0] ?? null;
    const spawnedAt = given.maybeTime('spawned_at') ?? first;
    const species = given.text('species') || USUAL_SPECIES;
    const batch = await parts.batches.add({ name, species, spawnedAt, note: given.text('note'), active: true }, { by });
    for (const origin of origins) await parts.origins.append({ ...origin, batchId: batch.id, note: '' }, { by });
    return batch;
  },
};

const LITRE_ML = 1000;

export const TANK: Kind = {
  name: 'tank',
  about: 'a tank, bucket or bag that larvae live in',
  fields: [
    field('tank', 'what it is called', { needed: 'always' }),
    field('volume_l', 'volume, litres'),
    field('volume_uncertainty_l', 'standard uncertainty of the volume, litres'),
    NOTE,
  ],
  keep: async (given, desk) => {
    const name = given.name('tank');
    await checkNewName(desk, 'tank', name);
    const ml = (litres: number | null): number | null => (litres === null ? null : litres * LITRE_ML);
    const fields = {
      name,
      volumeMl: ml(given.maybeAbove0('volume_l')),
      volumeStandardUncertaintyMl: ml(given.maybeNumber('volume_uncertainty_l')),
      note: given.text('note'),
      active: true,
    };
    return desk.parts.tanks.add(fields, { by: desk.by });
  },
};
