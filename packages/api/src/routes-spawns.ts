import { z } from 'zod';
import type { Route } from './route.js';
import * as spawns from './spawns.js';

/** Routes about broodstock, spawns, and what becomes of larvae that are ready. */
export const spawnRoutes = {
  listAnimals: {
    method: 'get',
    path: '/animals',
    role: 'viewer',
    summary: 'Animals that are kept to spawn, with their parents as far as recorded',
    answer: z.object({ animals: z.array(spawns.animal) }),
  },
  listSpawns: {
    method: 'get',
    path: '/spawns',
    role: 'viewer',
    summary: 'Spawns, latest first',
    answer: z.object({ spawns: z.array(spawns.spawnLine) }),
  },
  getSpawn: {
    method: 'get',
    path: '/spawns/{spawn}',
    role: 'viewer',
    summary: 'One spawn: what each animal gave, crosses, batches, sperm and fertilisation checks',
    answer: spawns.spawn,
  },
  tryCross: {
    method: 'post',
    path: '/spawns/{spawn}/try-cross',
    role: 'counter',
    summary: 'Judge a cross before it is made: breeders, kinship of each pair, equal shares; keeps nothing',
    body: spawns.crossAsked,
    answer: spawns.crossJudged,
  },
  getSetting: {
    method: 'get',
    path: '/batches/{batch}/setting',
    role: 'viewer',
    summary: 'Setting and shipping of a batch: larvae there, eyed share, sets with the efficiency reached',
    answer: spawns.settingOfBatch,
  },
} as const satisfies Record<string, Route>;
