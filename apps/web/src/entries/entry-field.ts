import { language, say } from '../words/say.js';
import { readNumber } from '../words/numbers.js';

/** One field of something that staff enter. */
export interface EntryField {
  /** As the record calls it, with its unit: `volume_l`. */
  readonly name: string;
  /** Already in the language on screen. */
  readonly label: string;
  readonly hint?: string;
  readonly unit?: string;
  /** Default `text`. */
  readonly as?: 'text' | 'number' | 'time' | 'yes' | 'choice';
  /** For choices: what is sent, with what is shown. */
  readonly options?: readonly { readonly value: string; readonly label: string }[];
  /** Suggestions while typing. */
  readonly list?: readonly string[];
  readonly required?: boolean;
}

/** Text by field, as it stands in the form. */
export type EntryText = Readonly<Record<string, string>>;

/** What is wrong, by field. */
export type EntryWrong = Readonly<Record<string, string>>;

/** Three digits behind the only sign: thousands to some, decimals to others. Nobody writes thousands with a 0 in front. */
const TWO_WAYS = { en: /^[1-9]\d{0,2},\d{3}$/, es: /^[1-9]\d{0,2}[.,]\d{3}$/ } as const;

/** Several signs with three digits behind each can only be thousands. */
const GROUPED = /^\d{1,3}([.,])\d{3}(\1\d{3})+$/;

/** A number as the record takes it; null when it can be read in two ways or is none. */
export function typedNumber(text: string): string | null {
  const plain = text.trim().replace(/\s/g, '');
  if (GROUPED.test(plain)) return plain.replace(/[.,]/g, '');
  if (TWO_WAYS[language.value].test(plain)) return null;
  const value = readNumber(plain);
  return value === null ? null : String(value);
}

function faultOf({ name, as, required = false }: EntryField, text: EntryText): string | null {
  const said = (text[name] ?? '').trim();
  if (said === '') return required ? say('entry.missing') : null;
  if (as !== 'number' || typedNumber(said) !== null) return null;
  return say(TWO_WAYS[language.value].test(said.replace(/\s/g, '')) ? 'entry.two-ways' : 'entry.no-number');
}

/** What is missing or can't be read. */
export function wrongIn(fields: readonly EntryField[], text: EntryText): EntryWrong {
  const found = fields.flatMap((field) => {
    const fault = faultOf(field, text);
    return fault === null ? [] : [[field.name, fault] as const];
  });
  return Object.fromEntries(found);
}

function sentText({ name, as }: EntryField, text: EntryText): string {
  const said = (text[name] ?? '').trim();
  if (said === '') return '';
  if (as === 'number') return typedNumber(said) ?? said;
  return as === 'time' ? new Date(said).toISOString() : said;
}

/** Fields as they are sent; what is empty is left out. */
export const sentFields = (fields: readonly EntryField[], text: EntryText): Record<string, string> =>
  Object.fromEntries(
    fields.map((field) => [field.name, sentText(field, text)] as const).filter(([, said]) => said !== ''),
  );
