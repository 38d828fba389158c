import { hasWord, language, say, sayOr, type Word } from './say.js';
import words from './words.json' with { type: 'json' };

/** A sentence as a pattern, with a group for each name in braces. */
const patternOf = (text: string): RegExp =>
  new RegExp(`^${text.replaceAll(/[.*+?^$()|[\]\\]/g, '\\$&').replaceAll(/\{(\w+)\}/g, '(?<$1>.+?)')}$`);

/** A word, and what is put into it. */
export interface ReadBack {
  readonly word: Word;
  readonly values: Readonly<Record<string, string>>;
}

/**
 * The sentence that a text in English is, with what stands in it.
 *
 * @param isMeant which words are looked through
 * @returns null when it is none of them
 */
export function readBack(text: string, isMeant: (word: string) => boolean): ReadBack | null {
  for (const [word, { en }] of Object.entries(words)) {
    if (!isMeant(word) || !hasWord(word)) continue;
    const found = patternOf(en).exec(text);
    if (found !== null) return { word, values: { ...found.groups } };
  }
  return null;
}

/** Where the words of a value are looked for, by the name that it has in its sentence. */
const WORDS_OF: Readonly<Record<string, string>> = {
  what: 'what',
  field: 'said',
  why: 'refused',
  expected: 'expected',
};

/** A value of a sentence, in the language on screen where it is a name of ours. */
function valueWords(name: string, value: string): string {
  const list = WORDS_OF[name];
  if (list === undefined) return value;
  const slug = list === 'said' ? value : value.toLowerCase().replaceAll(/[^a-z0-9]+/g, '-');
  return sayOr(`${list}.${slug}`, value);
}

/** What the server says in English alone, in the language on screen where there are words for it; else marked as English. */
export function toldWords(text: string): string {
  if (language.value === 'en') return text;
  const found = readBack(text, (word) => word.startsWith('told.'));
  if (found === null) return say('problem.in-english', { detail: text });
  const values = Object.entries(found.values).map(([name, value]) => [name, valueWords(name, value)] as const);
  return say(found.word, Object.fromEntries(values));
}
