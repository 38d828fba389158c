import { hasWord, language, say, type Word } from './say.js';
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

/** What the server says in English alone, in the language on screen where there are words for it; else marked as English. */
export function toldWords(text: string): string {
  if (language.value === 'en') return text;
  const found = readBack(text, (word) => word.startsWith('told.'));
  return found === null ? say('problem.in-english', { detail: text }) : say(found.word, found.values);
}
