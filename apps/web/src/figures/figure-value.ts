import type { Figure } from '@veligrid/api';
import { typedNumber } from '../entries/entry-field.js';
import { exactNumber } from '../words/numbers.js';

type Value = Figure['value'];

function textOf(value: Value, write: (one: number) => string): string {
  if (typeof value === 'number') return write(value);
  return value.map((row) => (typeof row === 'number' ? write(row) : row.map(write).join(': '))).join('; ');
}

/** A figure's value as people type it: `4`, `35; 48; 64`, or points `85: 2000; 180: 10000`. */
export const valueText = (value: Value): string => textOf(value, String);

/** A figure's value as people read it: `40,000`. */
export const valueWords = (value: Value): string => textOf(value, exactNumber);

const numberIn = (text: string): number | null => {
  const typed = typedNumber(text);
  return typed === null ? null : Number(typed);
};

/** What was typed, in the shape of the value that was there before; null when it can't be read. */
export function readValue(text: string, like: Value): Value | null {
  if (typeof like === 'number') return numberIn(text);
  const rows = text
    .split(';')
    .map((row) => row.trim())
    .filter((row) => row !== '');
  const read = rows.map((row) => row.split(':').map((part) => numberIn(part)));
  const wide = Array.isArray(like[0]) ? 2 : 1;
  if (read.length === 0 || read.some((row) => row.length !== wide || row.includes(null))) return null;
  return (wide === 2 ? read : read.map(([one]) => one)) as Value;
}
