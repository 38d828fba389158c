import type { HouseSettings } from '@veligrid/api';
import { effect, signal, type Signal } from '@preact/signals';
import { DECIMAL_SIGNS, VOLUME_UNITS, writeDecimals, type DecimalSign, type VolumeUnit } from '../words/numbers.js';
import { language, LANGUAGES, type Language } from '../words/say.js';
import { STARTING_KEYS, type KeyChoices } from './keys.js';

export const THEMES = ['device', 'light', 'dark'] as const;
export type Theme = (typeof THEMES)[number];
export const DEGREES = ['C', 'F'] as const;
export type Degree = (typeof DEGREES)[number];

/** What a person chose for this device. */
export interface Settings {
  readonly language: Language;
  readonly volumeUnit: VolumeUnit;
  readonly degrees: Degree;
  readonly decimals: DecimalSign;
  readonly theme: Theme;
  /** Whether one-letter keys do anything. */
  readonly letters: boolean;
  readonly keys: KeyChoices;
}

const STORED = 'veligrid.settings';

const among = <T extends string>(list: readonly T[], value: unknown, otherwise: T): T =>
  list.find((one) => one === value) ?? otherwise;

/** Settings from what was stored, each checked; what is missing or unknown is as shipped. */
function readSettings(stored: string | null, deviceLanguage: string): Settings {
  const found = parsed(stored);
  return {
    language: among(LANGUAGES, found['language'], deviceLanguage.startsWith('es') ? 'es' : 'en'),
    volumeUnit: among(VOLUME_UNITS, found['volumeUnit'], 'L'),
    degrees: among(DEGREES, found['degrees'], 'C'),
    decimals: among(DECIMAL_SIGNS, found['decimals'], 'language'),
    theme: among(THEMES, found['theme'], 'device'),
    letters: found['letters'] !== false,
    keys: isKeys(found['keys']) ? found['keys'] : STARTING_KEYS,
  };
}

function parsed(stored: string | null): Record<string, unknown> {
  try {
    const value: unknown = JSON.parse(stored ?? '{}');
    return typeof value === 'object' && value !== null ? (value as Record<string, unknown>) : {};
  } catch {
    return {};
  }
}

const isKeys = (value: unknown): value is KeyChoices =>
  typeof value === 'object' && value !== null && Object.values(value).every((key) => typeof key === 'string');

/** Settings of this device. */
export const settings: Signal<Settings> = signal(readSettings(localStorage.getItem(STORED), navigator.language));

/** Changes some settings and keeps them on this device. */
export function setSettings(change: Partial<Settings>): void {
  settings.value = { ...settings.value, ...change };
  const kept = { ...parsed(localStorage.getItem(STORED)), ...change };
  localStorage.setItem(STORED, JSON.stringify(kept));
}

/** Takes what the house likes for whatever this device has no choice of its own for. */
export function houseDefaults(house: HouseSettings): void {
  const own = parsed(localStorage.getItem(STORED));
  const change: Partial<Settings> = {
    ...('language' in own ? {} : { language: house.language }),
    ...('volumeUnit' in own ? {} : { volumeUnit: house.volume === 'us-gallon' ? 'gal' : 'L' }),
    ...('degrees' in own ? {} : { degrees: house.temperature === 'fahrenheit' ? 'F' : 'C' }),
  };
  settings.value = { ...settings.value, ...change };
}

effect(() => {
  const { language: tag, theme, decimals } = settings.value;
  language.value = tag;
  writeDecimals(decimals);
  document.documentElement.lang = tag;
  document.documentElement.dataset['theme'] = theme;
});
