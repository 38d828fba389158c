/** What stands in a sentence: a name, a number, or a number with its limits. */
export type SaidValue = string | number | { readonly estimate: number; readonly low: number; readonly high: number };

/** A sentence by its name in the list of words, with what stands in it, so that it can be said in another language. */
export interface SaidSentence {
  /** Kebab-case; sentences of one code that differ have a point and a word more: `yield-over-100.beyond-limits`. */
  readonly as: string;
  /** By the names in braces of the sentence. Numbers are in the unit that the sentence names, parts in per cent. */
  readonly values: Readonly<Record<string, SaidValue>>;
  /** What the sentence is about, said before it with a colon between. */
  readonly of?: Omit<SaidSentence, 'of'> | undefined;
}

/** Something the user should know. */
export interface Warning {
  /** Stable, kebab-case. */
  readonly code: string;
  /** One sentence that says what to do, in English. */
  readonly message: string;
  /** The same, to be said in another language; left out where the code alone tells the sentence. */
  readonly said?: SaidSentence | undefined;
}

/** The names in braces of a sentence: those of `{number} of {all}` are `number` and `all`. */
export type NamesIn<S extends string> = S extends `${string}{${infer Name}}${infer Rest}`
  ? Name | NamesIn<Rest>
  : never;

const threeFigures = (value: number, roundingMode: 'halfExpand' | 'floor' | 'ceil'): string =>
  new Intl.NumberFormat('en-US', { maximumSignificantDigits: 3, roundingMode }).format(value);

/** A number for an English sentence: three significant figures, thousands apart. */
export const shown = (value: number): string => threeFigures(value, 'halfExpand');

/** A value for an English sentence, limits rounded outward. */
function inEnglish(value: SaidValue, write: (value: number) => string): string {
  if (typeof value === 'string') return value;
  if (typeof value === 'number') return write(value);
  const { estimate, low, high } = value;
  return low === high
    ? write(estimate)
    : `${write(estimate)} (${threeFigures(low, 'floor')} to ${threeFigures(high, 'ceil')})`;
}

/**
 * Fills an English sentence.
 *
 * @param sentence with names in braces
 * @param write how a number is written; default: three significant figures
 */
const filledIn = (
  sentence: string,
  values: Readonly<Record<string, SaidValue>>,
  write: (value: number) => string = shown,
): string =>
  sentence.replace(/\{([\w-]+)\}/g, (whole: string, name: string) => {
    const value = values[name];
    return value === undefined ? whole : inEnglish(value, write);
  });

/** Values without whatever else came with their limits. */
const plain = (values: Readonly<Record<string, SaidValue>>): Record<string, SaidValue> =>
  Object.fromEntries(
    Object.entries(values).map(([name, value]): [string, SaidValue] => {
      if (typeof value !== 'object') return [name, value];
      const { estimate, low, high } = value;
      return [name, { estimate, low, high }];
    }),
  );

/** A sentence of a list, and what stands in it. */
export interface Saying<Sentences extends Readonly<Record<string, string>>, As extends keyof Sentences> {
  readonly sentences: Sentences;
  readonly as: As;
  readonly values: Readonly<Record<NamesIn<Sentences[As]>, SaidValue>>;
  /** Default: three significant figures. */
  readonly write?: (value: number) => string;
}

/** A warning in the words of a list of sentences; its code is the sentence's name up to a point. */
export function warningSaid<Sentences extends Readonly<Record<string, string>>, As extends keyof Sentences & string>({
  sentences,
  as,
  values,
  write,
}: Saying<Sentences, As>): Warning {
  const [code = as] = as.split('.');
  return { code, message: filledIn(sentences[as] ?? '', values, write), said: { as, values: plain(values) } };
}

/** The same warning with what it is about said before it. */
export function warningOf<Sentences extends Readonly<Record<string, string>>, As extends keyof Sentences & string>(
  { code, message, said = { as: code, values: {} } }: Warning,
  { sentences, as, values, write }: Saying<Sentences, As>,
): Warning {
  const about = filledIn(sentences[as] ?? '', values, write);
  return { code, message: `${about}: ${message}`, said: { ...said, of: { as, values: plain(values) } } };
}
