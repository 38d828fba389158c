import type { CultureRecord } from '@veligrid/api';
import { algaOf, loadFiguresOrCommon } from '@veligrid/season';
import type { Handlers } from '../http/call.js';
import { notThere } from '../http/problem-error.js';
import { atDesk } from '../season/entry-handlers.js';

/** More readings than this are seen in the export only. */
const SHOWN = 14;

export const cultureRecordHandlers: Handlers<'listCultures' | 'changeCulture'> = {
  listCultures: async ({ house: { store } }) => {
    const readings = (await store.cultureReadings.list()).toReversed();
    const book = await loadFiguresOrCommon('');
    const cultures = (await store.cultures.list()).map(
      ({ id, name, species, note, active, revision }): CultureRecord => ({
        ...{ id, name, alga: species, fedAs: algaOf(species, book), note, active, revision },
        readings: readings
          .filter(({ cultureId }) => cultureId === id)
          .slice(0, SHOWN)
          .map(({ id: reading, version, happenedAt: at, by, litres, cellsPerMl, tally, note: said }) => ({
            ...{ id: reading, version, at, by, litres, cellsPerMl, note: said },
            tally: tally === null ? null : { ...tally, steps: [...tally.steps] },
          })),
      }),
    );
    return { cultures };
  },
  changeCulture: ({ house, params, body: { revision, alga, note, active }, by }) =>
    atDesk(house, by, async ({ parts }) => {
      const culture = await parts.cultures.get(params['culture'] ?? '');
      if (culture === null) throw notThere('culture');
      const fields = {
        ...(alga === undefined ? {} : { species: alga }),
        ...(note === undefined ? {} : { note }),
        ...(active === undefined ? {} : { active }),
      };
      await parts.cultures.change(culture.id, revision, fields, { by });
      return {};
    }),
};
