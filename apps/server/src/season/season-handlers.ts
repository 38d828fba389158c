import { stringify } from 'csv-stringify/sync';
import {
  batchLines,
  batchSeason,
  correctableOf,
  historyOf,
  loadFiguresOrCommon,
  ownFiguresOf,
  standingEntry,
  tankSeason,
  type NamedHappening,
} from '@veligrid/season';
import type { BatchFields, Kept } from '@veligrid/storage';
import type { Handlers } from '../http/call.js';
import { notThere } from '../http/problem-error.js';
import type { House } from '../house.js';
import { lookingDesk } from './entry-handlers.js';
import { batchAnswer, tankAnswer } from './season-answers.js';

/** @throws ProblemError when there is no such batch */
async function findBatch({ store }: House, id: string | undefined): Promise<Kept<BatchFields>> {
  const batch = await store.batches.get(id ?? '');
  if (batch === null) throw notThere('batch');
  return batch;
}

const COLUMNS = ['at', 'what', 'batch', 'tank', 'animals', 'low', 'high', 'text', 'by', 'photos', 'entries'] as const;

/** One line of the history as CSV; texts that a spreadsheet would take for a formula are escaped when it is written. */
function csvLine({ animals, photos, entries, ...one }: NamedHappening): (string | number)[] {
  const [estimate, low, high] =
    typeof animals === 'number' ? [animals, animals, animals] : [animals?.estimate, animals?.low, animals?.high];
  const { at, what, batch, tank, text, by } = one;
  return [
    ...[at, what, batch ?? '', tank ?? ''],
    ...[estimate ?? '', low ?? '', high ?? ''],
    text,
    by,
    photos.map(({ photo, picture }) => `${photo} ${picture}`).join('; '),
    entries.map(({ kind, id }) => `${kind} ${id}`).join('; '),
  ];
}

export const seasonHandlers: Handlers<
  'listBatchSeasons' | 'getBatchSeason' | 'exportBatchHistory' | 'getTankSeason' | 'getEntry'
> = {
  listBatchSeasons: async ({ house }) => ({ batches: await batchLines(lookingDesk(house)) }),
  getBatchSeason: async ({ house, params }) => {
    const batch = await findBatch(house, params['batch']);
    const own = await ownFiguresOf(house.store, batch.species);
    const figures = await loadFiguresOrCommon(batch.species, own === null ? [] : [own.preset]);
    return batchAnswer(await batchSeason(lookingDesk(house), batch, figures));
  },
  exportBatchHistory: async ({ house, params, res }) => {
    const { id, name } = await findBatch(house, params['batch']);
    const { history } = await historyOf(lookingDesk(house), id);
    const file = `${name.replaceAll(/[^\p{L}\p{N}.-]+/gu, '-')}-history.csv`;
    const text = stringify(history.map(csvLine), { header: true, columns: [...COLUMNS], escape_formulas: true });
    res.attachment(file).type('text/csv').send(text);
  },
  getTankSeason: async ({ house, params }) => {
    const tank = await house.store.tanks.get(params['tank'] ?? '');
    if (tank === null) throw notThere('tank');
    return tankAnswer(await tankSeason(lookingDesk(house), tank));
  },
  getEntry: async ({ house, params }) => {
    const what = correctableOf(params['kind'] ?? '');
    const entry = await standingEntry(lookingDesk(house), what, params['entry'] ?? '');
    if (entry === null) throw notThere('entry');
    return entry;
  },
};
