import type { Morning } from '@veligrid/api';
import { temperatureWords } from '../words/amounts.js';
import { threeFigures } from '../words/numbers.js';
import { say } from '../words/say.js';

export type Flag = Morning['tanks'][number]['flags'][number];

/** A number of a flag as it is written. */
const written = (name: string, value: number): string =>
  name === 'temperatureC' ? temperatureWords(value) : threeFigures(value);

/** What a flag says, with its numbers. */
export function flagWords({ code, numbers }: Flag): string {
  const fillings = Object.fromEntries(Object.entries(numbers).map(([name, value]) => [name, written(name, value)]));
  if (code === 'ready-to-set') {
    return say('percent' in numbers ? 'flag.ready-eyed' : 'flag.ready-length', fillings);
  }
  return say(`flag.${code}`, fillings);
}
