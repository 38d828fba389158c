import type { PlanQuestion } from '@veligrid/api';
import { typedNumber } from '../entries/entry-field.js';
import { typedForm } from '../words/numbers.js';
import { say } from '../words/say.js';
import type { QuestionField, QuestionText } from './question-fields.js';

type Node = Record<string, unknown>;

/** What stands at a path of a question; undefined when nothing does. */
export function valueAt(question: PlanQuestion, path: string): unknown {
  return path
    .split('.')
    .reduce<unknown>((at, key) => (typeof at === 'object' && at !== null ? (at as Node)[key] : undefined), question);
}

const estimateOf = (value: unknown): number | null => {
  if (typeof value === 'number') return value;
  const { estimate } = (value ?? {}) as { readonly estimate?: unknown };
  return typeof estimate === 'number' ? estimate : null;
};

/** A value of a question as it stands in its field. */
function textOf({ as, times = 1 }: QuestionField, value: unknown): string {
  if (as === 'choice') return typeof value === 'string' ? value : '';
  if (as === 'numbers') return Array.isArray(value) ? value.map((one) => typedForm(Number(one))).join('; ') : '';
  const number = estimateOf(value);
  if (number === null) return '';
  return as === 'amount' ? String(Math.round(number)) : typedForm(Number((number / times).toPrecision(12)));
}

/** What stands in the fields before anybody types, short enough to read; what nobody touches is sent as it was. */
export const startOf = (fields: readonly QuestionField[], question: PlanQuestion): QuestionText =>
  Object.fromEntries(fields.map((field) => [field.path, textOf(field, valueAt(question, field.path))]));

function numbersOf(text: string): number[] | null {
  const parts = text.split(/[;\s]+/).filter((part) => part !== '');
  const numbers = parts.map(typedNumber);
  return numbers.includes(null) ? null : numbers.map(Number);
}

/** What a field says: a value, nothing (undefined), or null when it can't be read. */
function readField({ as, times = 1 }: QuestionField, text: string): unknown {
  const said = text.trim();
  if (said === '') return undefined;
  if (as === 'choice') return said;
  if (as === 'numbers') return numbersOf(said);
  const typed = typedNumber(said);
  return typed === null ? null : Number((Number(typed) * times).toPrecision(12));
}

function setAt(question: Node, path: string, value: unknown): void {
  const keys = path.split('.');
  const last = keys.pop() ?? '';
  const holder = keys.reduce<Node>((at, key) => (at[key] ??= {}) as Node, question);
  if (value === undefined) Reflect.deleteProperty(holder, last);
  else holder[last] = value;
}

/** A question with what was typed, and what can't be read. What nobody touched keeps its limits. */
export function questionWith(
  question: PlanQuestion,
  fields: readonly QuestionField[],
  text: QuestionText,
): { readonly question: PlanQuestion; readonly wrong: Readonly<Record<string, string>> } {
  const changed = structuredClone(question) as Node;
  const before = startOf(fields, question);
  const wrong: Record<string, string> = {};
  for (const field of fields) {
    const said = text[field.path] ?? '';
    if (said === before[field.path]) continue;
    const value = readField(field, said);
    if (value === null) wrong[field.path] = say('entry.no-number');
    else setAt(changed, field.path, value);
  }
  return { question: changed as PlanQuestion, wrong };
}
