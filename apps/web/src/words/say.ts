import { signal, type Signal } from '@preact/signals';
import words from './words.json' with { type: 'json' };

/** Languages shipped, as BCP 47 tags. */
export const LANGUAGES = ['en', 'es'] as const;
export type Language = (typeof LANGUAGES)[number];

/** A sentence or label of words.json. */
export type Word = keyof typeof words;

/** Values put into a sentence by name; `n` also chooses between the forms for one and for many. */
export type Fillings = Readonly<Record<string, string | number>>;

/** Language on screen. */
export const language: Signal<Language> = signal('en');

/** The form for a number: sentences write both, one and many, with a bar between. */
function formFor(text: string, n: string | number | undefined, tag: Language): string {
  const [one = '', many] = text.split(' | ');
  if (many === undefined) return one;
  return typeof n === 'number' && new Intl.PluralRules(tag).select(n) === 'one' ? one : many;
}

/** The words for something in a language, with `{name}` replaced by the filling of that name. */
export function sayIn(tag: Language, word: Word, fillings: Fillings = {}): string {
  const text = formFor(words[word][tag], fillings['n'], tag);
  return text.replace(/\{(\w+)\}/g, (_, name: string) => {
    const value = fillings[name];
    if (value === undefined) return `{${name}}`;
    return typeof value === 'number' ? new Intl.NumberFormat(tag).format(value) : value;
  });
}

/** The words in the language on screen; a component that calls it is drawn anew when the language changes. */
export const say = (word: Word, fillings: Fillings = {}): string => sayIn(language.value, word, fillings);

/** Names of what is put into a sentence. */
export const namesIn = (word: Word): string[] =>
  [...words[word].en.matchAll(/\{(\w+)\}/g)].map(([, name = '']) => name);

/** Whether words.json has a word, for names that come from data such as stages and warnings. */
export const hasWord = (name: string): name is Word => Object.hasOwn(words, name);

/** The word of a name that comes from data, else the name itself. */
export const sayOr = (name: string, otherwise: string): string => (hasWord(name) ? say(name) : otherwise);
