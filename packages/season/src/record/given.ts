import { VeligridError } from '@veligrid/model';
import { numberOf, numberWords, refused, timeOf, timeWords, type Formats } from './formats.js';

/** One column of a table, and one option of a command. */
export interface Field {
  /** As a heading, with its unit: `volume_l`. The option is `--volume-l`. */
  readonly name: string;
  readonly about: string;
  /** Has to be given; `in-files` where a command has a default of its own, such as now. */
  readonly needed?: 'always' | 'in-files';
  /** A yes or no, given by the option alone. */
  readonly yesNo?: true;
  readonly choices?: readonly string[];
}

/** Shortens the list of fields. */
export const field = (name: string, about: string, more: Pick<Field, 'needed' | 'yesNo' | 'choices'> = {}): Field => ({
  name,
  about,
  ...more,
});

const YES_NO: Readonly<Record<string, boolean>> = {
  yes: true,
  no: false,
  true: true,
  false: false,
  '1': true,
  '0': false,
};

/** What was given for one entry: text by field, read by what it should be. */
export class Given {
  readonly #texts: ReadonlyMap<string, string>;
  readonly #formats: Formats;

  /** @param texts what was written by field; what is empty counts as not given */
  constructor(texts: ReadonlyMap<string, string>, formats: Formats) {
    this.#texts = texts;
    this.#formats = formats;
  }

  has(name: string): boolean {
    return (this.#texts.get(name) ?? '').trim() !== '';
  }

  /** Text as it is, but for blanks around it. Names of tanks stay text whatever they look like. */
  text(name: string): string {
    return (this.#texts.get(name) ?? '').trim();
  }

  name(name: string): string {
    if (!this.has(name)) throw new VeligridError('bad-argument', `${name} is missing.`);
    return this.text(name);
  }

  choice<T extends string>(name: string, choices: readonly T[], usual?: T): T {
    if (!this.has(name) && usual !== undefined) return usual;
    const found = choices.find((one) => one === this.name(name));
    if (found === undefined) throw refused(name, `one of ${choices.join(', ')}`, this.text(name));
    return found;
  }

  /** A number of 0 or more, or null when it is not given. */
  maybeNumber(name: string): number | null {
    if (!this.has(name)) return null;
    const value = numberOf(this.text(name), this.#formats);
    if (value === null) throw refused(name, numberWords(this.#formats), this.text(name));
    if (value < 0) throw refused(name, 'a number of 0 or more', this.text(name));
    return value;
  }

  number(name: string): number {
    const value = this.maybeNumber(name);
    if (value === null) throw new VeligridError('bad-argument', `${name} is missing.`);
    return value;
  }

  /** Above 0, or null when it is not given. */
  maybeAbove0(name: string): number | null {
    const value = this.maybeNumber(name);
    if (value === 0) throw refused(name, 'a number above 0', this.text(name));
    return value;
  }

  above0(name: string): number {
    this.number(name);
    return this.maybeAbove0(name) ?? 0;
  }

  whole(name: string): number {
    const value = this.number(name);
    if (!Number.isSafeInteger(value)) throw refused(name, 'a whole number of 0 or more', this.text(name));
    return value;
  }

  maybeTime(name: string): string | null {
    if (!this.has(name)) return null;
    const time = timeOf(this.text(name), this.#formats);
    if (time === null) throw refused(name, timeWords(this.#formats), this.text(name));
    return time;
  }

  yes(name: string): boolean {
    if (!this.has(name)) return false;
    const answer = YES_NO[this.text(name).toLowerCase()];
    if (answer === undefined) throw refused(name, 'yes or no', this.text(name));
    return answer;
  }

  /** Several in one cell, with a semicolon between them. */
  list(name: string): string[] {
    return this.text(name)
      .split(';')
      .map((part) => part.trim())
      .filter((part) => part !== '');
  }

  /** Several numbers of 0 or more. */
  numbers(name: string): number[] {
    return this.list(name).map((part) => new Given(new Map([[name, part]]), this.#formats).number(name));
  }

  /** Several `NAME=NUMBER`. */
  numbered(name: string): (readonly [name: string, number: number])[] {
    return this.list(name).map((part) => {
      const at = part.lastIndexOf('=');
      if (at < 1) throw refused(name, 'NAME=NUMBER, several with ; between them', part);
      const number = new Given(new Map([[name, part.slice(at + 1)]]), this.#formats).above0(name);
      return [part.slice(0, at).trim(), number] as const;
    });
  }
}
