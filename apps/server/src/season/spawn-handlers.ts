import { animalsView, proposeCross, settingView, spawnLines, spawnView } from '@veligrid/season';
import type { Handlers } from '../http/call.js';
import { notThere } from '../http/problem-error.js';
import { lookingDesk } from './entry-handlers.js';
import { fertilisationOf } from './fertilisation.js';

export const spawnHandlers: Handlers<'listAnimals' | 'listSpawns' | 'getSpawn' | 'tryCross' | 'getSetting'> = {
  listAnimals: async ({ house }) => ({ animals: await animalsView(house.store) }),
  listSpawns: async ({ house }) => ({ spawns: await spawnLines(house.store) }),
  getSpawn: async ({ house, params }) => {
    const view = await spawnView(house.store, params['spawn'] ?? '');
    if (view === null) throw notThere('spawn');
    return { ...view, fertilisation: await fertilisationOf(house, view) };
  },
  tryCross: async ({ house, params, body }) => {
    const spawn = await house.store.spawns.get(params['spawn'] ?? '');
    if (spawn === null) throw notThere('spawn');
    const { breeders, ...rest } = await proposeCross(house.store, {
      ...body,
      spawnId: spawn.id,
      species: spawn.species,
    });
    const { sires, dams, effective, sharesKnown, inbreedingPerGeneration, proposed, warnings, figures } = breeders;
    const limit = figures.find(({ name }) => name === 'breeders.kinship-limit')?.value;
    return {
      ...{ sires, dams, effective, sharesKnown, inbreedingPerGeneration, warnings },
      pairs: proposed,
      kinshipLimit: typeof limit === 'number' ? limit : null,
      ...rest,
    };
  },
  getSetting: async ({ house, params }) => {
    const view = await settingView(lookingDesk(house), params['batch'] ?? '');
    if (view === null) throw notThere('batch');
    return view;
  },
};
