import type { Morning } from '@veligrid/api';
import { settings } from '../state/settings.js';
import { celsiusToFahrenheit, threeFigures } from '../words/numbers.js';
import { say } from '../words/say.js';

export type Flag = Morning['tanks'][number]['flags'][number];

/** A number of a flag as it is written. */
function written(name: string, value: number): string {
  if (name !== 'temperatureC') return threeFigures(value);
  const { degrees } = settings.value;
  return `${threeFigures(degrees === 'F' ? celsiusToFahrenheit(value) : value)} °${degrees}`;
}

/** What a flag says, with its numbers. */
export function flagWords({ code, numbers }: Flag): string {
  const fillings = Object.fromEntries(Object.entries(numbers).map(([name, value]) => [name, written(name, value)]));
  if (code === 'ready-to-set') {
    return say('percent' in numbers ? 'flag.ready-eyed' : 'flag.ready-length', fillings);
  }
  return say(`flag.${code}`, fillings);
}
