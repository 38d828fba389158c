import type { KeptEntry } from '@veligrid/api';
import { correctableOf, correctEntry, Given, ISO_FORMATS, takeBackEntry, type Desk, type Kind } from '@veligrid/season';
import type { Parts } from '@veligrid/storage';
import type { Handlers, Person } from '../http/call.js';
import { notThere, ProblemError } from '../http/problem-error.js';
import type { House } from '../house.js';
import { COUNT } from './count-kind.js';
import { RECORD_KINDS } from './record-kinds.js';

/** A desk for one request; what is kept within `work` is kept all or not at all. */
export function atDesk<T>(house: House, by: string, work: (desk: Desk) => Promise<T>): Promise<T> {
  const now = (): string => house.now().toISOString();
  return house.store.together((parts: Parts) => work({ store: house.store, parts, by, now }));
}

/** A desk to look from. */
export const lookingDesk = ({ store, now }: House): Desk => ({
  store,
  parts: store,
  by: '',
  now: () => now().toISOString(),
});

function kindOf(name: string | undefined, { isProgram }: Person): Kind {
  const kind = RECORD_KINDS.find((one) => one.name === name);
  if (kind === undefined) throw notThere('kind of entry');
  if (kind === COUNT && isProgram) {
    throw new ProblemError('not-allowed', 'A count is signed off by who enters it: a person, not a program.', {
      code: 'people-only',
    });
  }
  return kind;
}

const textsOf = (fields: Readonly<Record<string, string>>): ReadonlyMap<string, string> =>
  new Map(Object.entries(fields));

/** Keeps under a key only once: sent again, it is answered as it was. */
async function once({ parts, by }: Desk, key: string | undefined, keep: () => Promise<KeptEntry>): Promise<KeptEntry> {
  if (key === undefined) return keep();
  const name = `entry:${key}`;
  const before = await parts.settings.get(name);
  if (before !== null) return before as unknown as KeptEntry;
  const kept = await keep();
  await parts.settings.set(name, kept, { by });
  return kept;
}

export const entryHandlers: Handlers<'addEntry' | 'correctEntry' | 'takeBackEntry'> = {
  addEntry: ({ house, params, body: { fields, key }, by, person }) =>
    atDesk(house, by, (desk) =>
      once(desk, key, async () => {
        const kept = await kindOf(params['kind'], person).keep(new Given(textsOf(fields), ISO_FORMATS), desk);
        return { id: kept.id, name: 'name' in kept && typeof kept.name === 'string' ? kept.name : null };
      }),
    ),
  correctEntry: ({ house, params, body, by }) =>
    atDesk(house, by, async (desk) => {
      const { version, changes, why } = body;
      const entry = { what: correctableOf(params['kind'] ?? ''), id: params['entry'] ?? '', why };
      const seen = version === undefined ? entry : { ...entry, version };
      const { id, version: now } = await correctEntry(desk, seen, textsOf(changes));
      return { id, version: now };
    }),
  takeBackEntry: ({ house, params, body, by }) =>
    atDesk(house, by, async (desk) => {
      const { version, why } = body;
      const entry = { what: correctableOf(params['kind'] ?? ''), id: params['entry'] ?? '', why };
      await takeBackEntry(desk, version === undefined ? entry : { ...entry, version });
      return {};
    }),
};
