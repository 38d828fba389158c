import type { Batch, Tank } from '@veligrid/api';
import type { BatchFields, Kept, TankFields } from '@veligrid/storage';
import type { Handlers } from '../http/call.js';
import { ProblemError } from '../http/problem-error.js';

const tank = ({ id, name, volumeMl, addedAt }: Kept<TankFields>): Tank => ({ id, name, volumeMl, since: addedAt });

const batch = ({ id, name, species, spawnedAt, note, addedAt }: Kept<BatchFields>): Batch => ({
  id,
  name,
  species,
  spawnedAt,
  note,
  since: addedAt,
});

/** @throws ProblemError when there is one of this name already, whatever the case of its letters */
function checkNew(
  what: string,
  name: string,
  others: readonly { readonly name: string; readonly active: boolean }[],
): void {
  if (others.some((one) => one.active && one.name.toLowerCase() === name.toLowerCase())) {
    throw new ProblemError('refused', `There is a ${what} ${name} already. Choose it, or take another name.`, {
      code: 'name-taken',
      data: { name },
    });
  }
}

export const tankHandlers: Handlers<'listTanks' | 'addTank' | 'listBatches' | 'addBatch'> = {
  listTanks: async ({ house }) => ({ tanks: (await house.store.tanks.list()).filter((one) => one.active).map(tank) }),
  addTank: async ({ house, body, by }) => {
    checkNew('tank', body.name, await house.store.tanks.list());
    const fields = {
      name: body.name,
      volumeMl: body.volumeMl ?? null,
      volumeStandardUncertaintyMl: null,
      note: '',
      active: true,
    };
    return tank(await house.store.tanks.add(fields, { by }));
  },
  listBatches: async ({ house }) => ({
    batches: (await house.store.batches.list()).filter((one) => one.active).map(batch),
  }),
  addBatch: async ({ house, body, by }) => {
    checkNew('batch', body.name, await house.store.batches.list());
    const { name, species, note = '' } = body;
    const spawnedAt = body.spawnedAt ? new Date(body.spawnedAt).toISOString() : null;
    return batch(await house.store.batches.add({ name, species, spawnedAt, note, active: true }, { by }));
  },
};
