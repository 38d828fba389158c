import type { SaidSentence, SaidValue, Warning } from '@veligrid/model';
import { temperatureWords } from './amounts.js';
import { limitsWords } from './limits.js';
import { threeFigures } from './numbers.js';
import { readBack } from './read-back.js';
import { hasWord, language, namesIn, say, sayOr } from './say.js';

/** Values that are degrees Celsius. */
const TEMPERATURES: readonly string[] = ['degrees', 'coldest', 'warmest'];

/** A name as words go by it: `tanks[0].larvae` is `tanks-larvae`. */
const slug = (name: string): string => name.replaceAll(/\[\d+\]/g, '').replaceAll(/[. ]+/g, '-');

/** A value as it stands in a sentence; names of ours, such as those of stages, have words. */
function written(name: string, value: SaidValue): string {
  if (typeof value === 'string') return sayOr(`${name}.${slug(value)}`, value);
  if (typeof value === 'object') return limitsWords(value, threeFigures);
  return TEMPERATURES.includes(name) ? temperatureWords(value) : threeFigures(value);
}

/** A sentence in the language on screen; null when there are no words for it, or something to put in is missing. */
function sentence(as: string, values: Readonly<Record<string, SaidValue>>): string | null {
  const word = `warning.${as}`;
  if (!hasWord(word) || namesIn(word).some((name) => values[name] === undefined)) return null;
  return say(word, Object.fromEntries(Object.entries(values).map(([name, value]) => [name, written(name, value)])));
}

/** Counts of photos carry their warnings in English alone: what stands in one is read back by its sentence. */
function saidOf({ code, message, said }: Warning): SaidSentence {
  if (said !== undefined) return said;
  const own = `warning.${code}`;
  const found = readBack(message, (word) => word === own || word.startsWith(`${own}.`));
  return found === null ? { as: code, values: {} } : { as: found.word.slice('warning.'.length), values: found.values };
}

/** A warning in the language on screen; the sentence in English, marked as that, where there are no words for it. */
export function warningWords(warning: Warning): string {
  const { message } = warning;
  const { as, values, of } = saidOf(warning);
  const own = sentence(as, values);
  if (own === null) return language.value === 'en' ? message : say('problem.in-english', { detail: message });
  const about = of === undefined ? null : sentence(of.as, of.values);
  return about === null ? own : `${about}: ${own}`;
}
