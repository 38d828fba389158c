import type { TankRecord } from '@veligrid/api';
import { ledgerOf } from '@veligrid/season';
import type { Kept, TankFields } from '@veligrid/storage';
import type { Handlers } from '../http/call.js';
import { notThere, ProblemError } from '../http/problem-error.js';
import type { House } from '../house.js';
import { atDesk, lookingDesk } from '../season/entry-handlers.js';

/** Batches that are in tanks now, by tank. */
async function heldBy(desk: Parameters<typeof ledgerOf>[0]): Promise<Map<string, { id: string; name: string }>> {
  const { stays } = (await ledgerOf(desk)).ledger;
  const names = new Map((await desk.parts.batches.list()).map(({ id, name }) => [id, name]));
  return new Map(
    stays
      .filter(({ endedAt }) => endedAt === null)
      .map(({ tankId, batchId }) => [tankId, { id: batchId, name: names.get(batchId) ?? '' }]),
  );
}

async function recordOf({ store }: House, tank: Kept<TankFields>, holds: TankRecord['holds']): Promise<TankRecord> {
  const { id, name, volumeMl, volumeStandardUncertaintyMl, note, active, revision } = tank;
  // most tanks were never changed: what is kept of the first saying stands with the tank itself
  const history =
    revision === 1 ? [{ at: tank.addedAt, by: tank.addedBy, why: null, fields: tank }] : await store.tanks.history(id);
  return {
    ...{ id, name, volumeMl, volumeStandardUncertaintyMl, note, active, revision, holds },
    history: history.map(({ at, by, why, fields }) => ({
      ...{ at, by, why },
      ...{ name: fields.name, volumeMl: fields.volumeMl, note: fields.note, active: fields.active },
    })),
  };
}

/** @throws ProblemError when another tank in use has this name */
function checkName(name: string, id: string, tanks: readonly Kept<TankFields>[]): void {
  if (!tanks.some((one) => one.active && one.id !== id && one.name.toLowerCase() === name.toLowerCase())) return;
  throw new ProblemError('refused', `There is a tank ${name} already. Take another name.`, {
    code: 'name-taken',
    data: { name },
  });
}

const given = <T extends object>(fields: T): Partial<{ [K in keyof T]: Exclude<T[K], undefined> }> =>
  Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== undefined)) as Partial<{
    [K in keyof T]: Exclude<T[K], undefined>;
  }>;

export const tankRecordHandlers: Handlers<'listTankRecords' | 'changeTank'> = {
  listTankRecords: async ({ house }) => {
    const held = await heldBy(lookingDesk(house));
    const tanks = await house.store.tanks.list();
    return { tanks: await Promise.all(tanks.map((tank) => recordOf(house, tank, held.get(tank.id) ?? null))) };
  },
  changeTank: ({ house, params, body, by }) =>
    atDesk(house, by, async (desk) => {
      const { revision, why, ...fields } = body;
      const tanks = await desk.parts.tanks.list();
      const tank = tanks.find(({ id }) => id === params['tank']);
      if (tank === undefined) throw notThere('tank');
      if (fields.active !== false) checkName(fields.name ?? tank.name, tank.id, tanks);
      const holds = fields.active === false ? (await heldBy(desk)).get(tank.id) : undefined;
      if (holds !== undefined) {
        throw new ProblemError('refused', `${tank.name} holds batch ${holds.name}. Empty it first.`, {
          code: 'tank-not-empty',
          data: { tank: tank.name, batch: holds.name },
        });
      }
      await desk.parts.tanks.change(tank.id, revision, given(fields), why === undefined ? { by } : { by, why });
      return {};
    }),
};
