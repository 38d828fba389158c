import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { run } from '../../../apps/cli/src/run.js';

export const text = (path: string): string => readFileSync(new URL(`../../../${path}`, import.meta.url), 'utf8');

const ajv = new Ajv2020({ strict: true, strictTypes: false, strictRequired: false });
export const isQuestion = ajv.compile(JSON.parse(text('docs/plan.schema.json')) as object);
export const isAnswer = ajv.compile(JSON.parse(text('docs/plan-result.schema.json')) as object);

export const folder = mkdtempSync(join(tmpdir(), 'veligrid-plan-'));

/** What the command said and answered. */
export interface Said {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

/** Runs the command on a question written to a file. */
export async function ask(question: unknown, ...flags: string[]): Promise<Said> {
  const file = join(folder, 'question.json');
  writeFileSync(file, typeof question === 'string' ? question : JSON.stringify(question));
  const said = { out: '', err: '' };
  const code = await run(['plan', file, ...flags], {
    out: (words) => (said.out += words),
    err: (words) => (said.err += words),
    errIsTerminal: false,
  });
  return { code, ...said };
}

interface Schema {
  readonly oneOf: readonly { readonly $ref: string }[];
  readonly $defs: Readonly<Record<string, { readonly examples?: readonly Record<string, unknown>[] }>>;
}
export const schema = JSON.parse(text('docs/plan.schema.json')) as Schema;
export const kinds = schema.oneOf.map(({ $ref }) => $ref.replace('#/$defs/', ''));

/** The examples that the published schema gives. */
export const examples = kinds.flatMap((kind) => schema.$defs[kind].examples ?? []);
