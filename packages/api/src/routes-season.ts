import { z } from 'zod';
import { batchLine, batchSeason, standingEntry, tankSeason } from './batch-season.js';
import type { Route } from './route.js';

/** Routes that tell what became of batches and tanks. */
export const seasonRoutes = {
  listBatchSeasons: {
    method: 'get',
    path: '/season/batches',
    role: 'viewer',
    summary: 'Batches with what each is now: where, how many, last count, survival',
    answer: z.object({ batches: z.array(batchLine) }),
  },
  getBatchSeason: {
    method: 'get',
    path: '/season/batches/{batch}',
    role: 'viewer',
    summary: 'A batch from broodstock to now: growth, survival, stages, everything that happened, balance, pedigree',
    answer: batchSeason,
  },
  exportBatchHistory: {
    method: 'get',
    path: '/season/batches/{batch}/history.csv',
    role: 'viewer',
    summary: 'Everything that happened to a batch as CSV',
    media: 'text/csv',
  },
  getTankSeason: {
    method: 'get',
    path: '/season/tanks/{tank}',
    role: 'viewer',
    summary: 'A tank: what is in it, counts beside what was expected, rations, water, moves',
    answer: tankSeason,
  },
  exportSeason: {
    method: 'get',
    path: '/export.zip',
    role: 'manager',
    summary: 'Everything that is kept, as tables with their description and a workbook, in one ZIP file',
    query: z.object({ pictures: z.enum(['yes', 'no']).optional() }),
    media: 'application/zip',
  },
  getEntry: {
    method: 'get',
    path: '/entries/{kind}/{entry}',
    role: 'viewer',
    summary: 'An entry as it stands, with every earlier version',
    answer: standingEntry,
  },
} as const satisfies Record<string, Route>;
