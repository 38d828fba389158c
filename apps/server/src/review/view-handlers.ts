import { viewOf } from '@veligrid/review';
import type { Handlers } from '../http/call.js';
import { sendVersion, setRevision } from '../http/etag.js';
import { findSample, readSample } from '../samples/read-sample.js';
import { appendDecisions } from './append-decisions.js';
import { countsOf, decisionOf, logOf } from './counts.js';

export const decisionHandlers: Handlers<'getDecisions' | 'addDecisions' | 'getView'> = {
  getDecisions: async ({ house, params, query, res }) => {
    const { id } = await findSample(house, params['sample']);
    const entries = await house.store.decisions.ofSample(id, query.after ?? 0);
    const order = entries.at(-1)?.order ?? query.after ?? 0;
    setRevision(res, order, query.after ?? 0);
    return { order, decisions: entries.map(decisionOf) };
  },
  addDecisions: appendDecisions,
  getView: async ({ house, params, req, res }) => {
    const { photos, decisions } = await readSample(house, await findSample(house, params['sample']));
    const order = decisions.length;
    const counted = photos.filter(({ count }) => count !== null);
    if (sendVersion(req, res, [order, ...counted.map(({ count }) => count)].join('.'))) return undefined as never;
    const counts = await countsOf(house, counted);
    const log = logOf(decisions.map(decisionOf), new Set(counted.map(({ id }) => id)));
    const viewed = viewOf(counts, log).map(({ count, rejected, squares, notes, objects }) => ({
      photo: count.photo,
      rejected,
      squares,
      notes,
      objects: objects.map((object) => ({
        ...object,
        outline: object.outline.map(([x, y]): [number, number] => [x, y]),
      })),
    }));
    return { order, photos: viewed };
  },
};
