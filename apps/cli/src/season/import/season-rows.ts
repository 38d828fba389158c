import { parse } from 'csv-parse/sync';
import { VeligridError } from '@veligrid/model';
import { Given, type Field } from '@veligrid/season';
import type { SeasonFile } from './mapping.js';

/** One row of a file of a season. */
export interface SeasonRow {
  readonly of: SeasonFile;
  /** Line in the file, the headings being 1. */
  readonly line: number;
  readonly given: Given;
  /** Who said it, where the file says so. */
  readonly by: string | null;
}

interface Read {
  readonly info: { readonly lines: number };
  readonly record: readonly string[];
}

function read({ file, separator }: SeasonFile, text: string): Read[] {
  try {
    const options = { bom: true, delimiter: separator, info: true, skip_empty_lines: true } as const;
    return parse(text, options) as unknown as Read[];
  } catch (error) {
    throw new VeligridError('bad-argument', `${file} is no valid CSV (${(error as Error).message}).`, { cause: error });
  }
}

/** Where each field stands in a row; null for those that the file lacks. */
function places(of: SeasonFile, headings: readonly string[]): Map<string, number> {
  const { file, kind, columns, always } = of;
  const missing = [...columns.values()].find((heading) => !headings.includes(heading));
  if (missing !== undefined) {
    throw new VeligridError('bad-argument', `${file} has no column "${missing}". It has: ${headings.join(', ')}.`);
  }
  const found = new Map<string, number>();
  for (const name of [...kind.fields.map((one) => one.name), 'by']) {
    const place = headings.indexOf(columns.get(name) ?? name);
    if (place >= 0) found.set(name, place);
  }
  const needed = (field: Field): boolean =>
    field.needed !== undefined && !found.has(field.name) && !always.has(field.name);
  const lacking = kind.fields.find(needed);
  if (lacking !== undefined) {
    throw new VeligridError(
      'bad-argument',
      `${file} has no column for ${lacking.name} (${lacking.about}). Name it under columns.`,
    );
  }
  return found;
}

/**
 * Rows of a file with the fields of their kind.
 *
 * @returns the rows, and headings that nothing is read from
 * @throws VeligridError `bad-argument` when the file is no CSV, or lacks a column
 */
export function seasonRows(of: SeasonFile, text: string): { readonly rows: SeasonRow[]; readonly unread: string[] } {
  const [head, ...body] = read(of, text);
  const headings = (head?.record ?? []).map((one) => one.trim());
  const at = places(of, headings);
  const rows = body.map(({ info, record }): SeasonRow => {
    const texts = new Map(of.always);
    for (const [name, place] of at) {
      const cell = record[place]?.trim() ?? '';
      if (cell !== '') texts.set(name, cell);
    }
    return { of, line: info.lines, given: new Given(texts, of.formats), by: texts.get('by') ?? null };
  });
  const used = new Set(at.values());
  return { rows, unread: headings.filter((heading, i) => heading !== '' && !used.has(i)) };
}
