import { z } from 'zod';
import { backups, changedCulture, changedTank, cultureRecord, tankRecord } from './keeping.js';
import { empty } from './parts.js';
import type { Route } from './route.js';

/** Routes of the settings pages: tanks, cultures, backups. */
export const keepingRoutes = {
  listTankRecords: {
    method: 'get',
    path: '/tank-records',
    role: 'viewer',
    summary: 'All tanks, those no longer used too, with what was ever said of them',
    answer: z.object({ tanks: z.array(tankRecord) }),
  },
  changeTank: {
    method: 'patch',
    path: '/tanks/{tank}',
    role: 'manager',
    summary: 'Rename a tank, say its volume anew, or stop using it; what was said before is kept',
    body: changedTank,
    answer: empty,
  },
  listCultures: {
    method: 'get',
    path: '/cultures',
    role: 'viewer',
    summary: 'All cultures with their last readings',
    answer: z.object({ cultures: z.array(cultureRecord) }),
  },
  changeCulture: {
    method: 'patch',
    path: '/cultures/{culture}',
    role: 'counter',
    summary: 'Say what alga a culture is, or stop using it',
    body: changedCulture,
    answer: empty,
  },
  listBackups: {
    method: 'get',
    path: '/backups',
    role: 'manager',
    summary: 'Backups that the server made, and the room that everything takes',
    answer: backups,
  },
  makeBackup: {
    method: 'post',
    path: '/backups',
    role: 'manager',
    summary: 'Make a backup now, where the server was told to keep them',
    body: empty,
    status: 201,
    answer: backups,
  },
} as const satisfies Record<string, Route>;
