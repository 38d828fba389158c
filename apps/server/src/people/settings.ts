import { routes, type HouseSettings } from '@veligrid/api';
import { USUAL_CALIBRATION_DAYS } from '@veligrid/jobs';
import { USUAL_RHYTHM } from '@veligrid/season';
import type { Handlers } from '../http/call.js';
import type { House } from '../house.js';

const KEY = 'house';

const DEFAULTS: HouseSettings = {
  hatchery: '',
  language: 'en',
  locale: 'en-US',
  volume: 'litre',
  temperature: 'celsius',
  species: 'eastern-oyster',
  calibrationDays: USUAL_CALIBRATION_DAYS,
  ...USUAL_RHYTHM,
};

/** Settings of the house; what was never set has its default. */
export async function readSettings(house: House): Promise<HouseSettings> {
  const stored = await house.store.settings.get(KEY);
  const parsed = routes.changeSettings.body.safeParse(stored ?? {});
  return { ...DEFAULTS, ...(parsed.success ? withoutGaps(parsed.data) : {}) };
}

function withoutGaps(
  changes: Partial<{ [K in keyof HouseSettings]: HouseSettings[K] | undefined }>,
): Partial<HouseSettings> {
  return Object.fromEntries(Object.entries(changes).filter(([, value]) => value !== undefined));
}

export const settingsHandlers: Handlers<'getSettings' | 'changeSettings'> = {
  getSettings: ({ house }) => readSettings(house),
  changeSettings: async ({ house, body, by }) => {
    const changed = { ...(await readSettings(house)), ...withoutGaps(body) };
    await house.store.settings.set(KEY, changed, { by });
    return changed;
  },
};
