import type { Happening } from '@veligrid/api';
import { temperatureWords } from '../words/amounts.js';
import { dateTime, threeFigures } from '../words/numbers.js';
import { hasWord, say, sayOr } from '../words/say.js';

type Fact = Happening['facts'][number];

const TEMPERATURES: readonly string[] = ['temperature', 'warmed', 'raised'];

/** Words that a name of ours has, such as a sex; null for all else. */
function nameWords({ what, name = '' }: Fact): string | null {
  if (what === 'sex') return sayOr(`sex.${name}`, name);
  if (what !== 'plan') return null;
  return name === 'stocking' ? say('use.stocking-or-thinning') : sayOr(`use.${name}`, name);
}

/** A fact in words. */
function factWords(fact: Fact): string {
  const { what, name, number, of } = fact;
  const known = nameWords(fact);
  if (known !== null) return known;
  const write = TEMPERATURES.includes(what) ? temperatureWords : threeFigures;
  const filled = {
    ...(name === undefined ? {} : { name }),
    ...(number === undefined ? {} : { number: write(number), n: number }),
    ...(of === undefined ? {} : { of: write(of) }),
  };
  const word = `detail.${what}`;
  return hasWord(word) ? say(word, filled) : [name, number].filter((one) => one !== undefined).join(' ');
}

/** What is known of a happening, in one line. */
export const factsWords = (facts: readonly Fact[]): string => facts.map(factWords).join(', ');

/** What happened, in a word or two. */
export const happeningWords = ({ kind }: Pick<Happening, 'kind'>): string => sayOr(`happening.${kind}`, kind);

/** Why an entry is refused; the server's sentence where there is no other. */
export function refusalWords(why: string): string {
  const slug = why
    .toLowerCase()
    .replace(/[^a-z]+/g, '-')
    .replace(/^-|-$/g, '');
  return sayOr(`refused.${slug}`, why);
}

/** What and when, as the title of an entry. */
export const entryTitle = (one: Pick<Happening, 'kind' | 'at'>): string =>
  say('entry.title', { what: happeningWords(one), when: dateTime(one.at) });
