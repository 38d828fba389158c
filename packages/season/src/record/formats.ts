import { VeligridError } from '@veligrid/model';

/** How numbers and dates are written. */
export interface Formats {
  /** Sign before the decimals. */
  readonly decimal: '.' | ',';
  /** Sign between groups of three digits; none when left out. */
  readonly thousands?: '.' | ',' | ' ' | "'";
  /** `ISO`, or a pattern of YYYY, MM, DD, HH, mm (M, D, H for numbers without a zero before) such as `DD.MM.YYYY HH:mm`. */
  readonly date: string;
  /** Zone of times that have none, such as `-04:00` or `Z`; null for the clock of this machine. */
  readonly zone: string | null;
}

/** As commands take them. */
export const ISO_FORMATS: Formats = { decimal: '.', date: 'ISO', zone: null };

/** What was given can't be taken; the sentence says what is accepted. */
export const refused = (name: string, expected: string, given: string): VeligridError =>
  new VeligridError('bad-argument', `${name} is "${given}": expected ${expected}.`);

const escaped = (sign: string): string => sign.replace(/[.\\^$*+?()[\]{}|/-]/g, '\\$&');

/** An expression for numbers as they are written: groups `whole`, `decimals` and `power`. */
function numberPattern({ decimal, thousands }: Formats): RegExp {
  const grouped = thousands === undefined ? '' : `|\\d{1,3}(?:${escaped(thousands)}\\d{3})+`;
  return new RegExp(
    `^(?<whole>[+-]?(?:\\d+${grouped}))(?:${escaped(decimal)}(?<decimals>\\d+))?(?:[eE](?<power>[+-]?\\d+))?$`,
  );
}

/** A number as written; null when it is none. */
export function numberOf(text: string, formats: Formats): number | null {
  const groups = numberPattern(formats).exec(text.trim())?.groups;
  if (groups === undefined) return null;
  const { whole = '', decimals = '0', power = '0' } = groups;
  const value = Number(`${whole.replaceAll(formats.thousands ?? ',', '')}.${decimals}e${power}`);
  return Number.isFinite(value) ? value : null;
}

/** How a number has to be written, for the sentence of a refusal. */
export const numberWords = ({ decimal, thousands }: Formats): string =>
  `a number written with "${decimal}" before the decimals${thousands === undefined ? ' and nothing between thousands' : ` and "${thousands}" between thousands`}`;

const ISO =
  /^(?<year>\d{4})-(?<month>\d\d)-(?<day>\d\d)(?:[T ](?<hour>\d\d):(?<minute>\d\d)(?::(?<second>\d\d)(?:\.\d+)?)?)?(?<zone>Z|[+-]\d\d:\d\d)?$/;

const TOKENS: Readonly<Record<string, string>> = {
  YYYY: '(?<year>\\d{4})',
  MM: '(?<month>\\d\\d)',
  M: '(?<month>\\d{1,2})',
  DD: '(?<day>\\d\\d)',
  D: '(?<day>\\d{1,2})',
  HH: '(?<hour>\\d\\d)',
  H: '(?<hour>\\d{1,2})',
  mm: '(?<minute>\\d\\d)',
};

/** The pattern as an expression; null when it names no year, month and day. */
function patternOf(date: string): RegExp | null {
  const parts = date.split(/(YYYY|MM|M|DD|D|HH|H|mm)/).map((part) => TOKENS[part] ?? escaped(part));
  const [source] = [parts.join('')];
  const whole = ['year', 'month', 'day'].every((name) => source.split(`<${name}>`).length === 2);
  return whole ? new RegExp(`^${source}$`) : null;
}

/** @throws VeligridError `bad-argument` for a pattern that no date can be read by */
export function checkDateFormat(date: string): void {
  if (date === 'ISO' || patternOf(date) !== null) return;
  throw refused('date', 'ISO, or a pattern with YYYY, MM and DD once each, such as DD.MM.YYYY or M/D/YYYY HH:mm', date);
}

interface Parts {
  readonly year: string;
  readonly month: string;
  readonly day: string;
  readonly hour: string;
  readonly minute: string;
  readonly second: string;
  readonly zone: string | null;
}

/** What a match leaves out. */
const MIDNIGHT = { hour: '00', minute: '00', second: '00', zone: null };

function partsOf(text: string, date: string): Parts | null {
  const groups = (date === 'ISO' ? ISO : patternOf(date))?.exec(text)?.groups;
  if (groups === undefined) return null;
  const matched = Object.entries(groups as Record<string, string | undefined>).filter(([, part]) => part !== undefined);
  // a day or hour without its zero
  const padded = matched.map(([name, part = '']) => [name, name === 'zone' ? part : part.padStart(2, '0')]);
  return { ...MIDNIGHT, ...(Object.fromEntries(padded) as Parts) };
}

/** A day that the calendar has: 30 February is none. */
const exists = ({ year, month, day, hour, minute, second }: Parts): boolean => {
  const written = `${year}-${month}-${day}T${hour}:${minute}:${second}`;
  const date = new Date(`${written}.000Z`);
  return !Number.isNaN(date.getTime()) && date.toISOString().slice(0, 19) === written;
};

/** A time as written, in UTC; null when it is none. */
export function timeOf(text: string, { date, zone }: Formats): string | null {
  const parts = partsOf(text.trim(), date);
  if (parts === null || !exists(parts)) return null;
  const { year, month, day, hour, minute, second } = parts;
  // without any zone the clock of this machine is meant
  const time = new Date(`${year}-${month}-${day}T${hour}:${minute}:${second}${parts.zone ?? zone ?? ''}`);
  return Number.isNaN(time.getTime()) ? null : time.toISOString();
}

/** How a time has to be written, for the sentence of a refusal. */
export const timeWords = ({ date }: Formats): string =>
  date === 'ISO'
    ? 'a date as ISO 8601 writes it, such as 2026-05-06 or 2026-05-06T08:40Z'
    : `a date written as ${date}`;
