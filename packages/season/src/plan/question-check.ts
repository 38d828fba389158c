import { readFileSync } from 'node:fs';
import { Ajv2020, type ErrorObject, type ValidateFunction } from 'ajv/dist/2020.js';
import { badArgument, VeligridError } from '@veligrid/model';

/** The value as an object, or null when it is none. */
function asObject(value: unknown): Readonly<Record<string, unknown>> | null {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
    ? (value as Readonly<Record<string, unknown>>)
    : null;
}

/** A published schema of questions: one definition for each kind. */
interface QuestionSchema {
  readonly $id: string;
  readonly oneOf: readonly { readonly $ref: string }[];
}

/** Fields that people type for a dilution; all are answered alike. */
const FACTORS = /^(dilution|concentration)(_?(factor|ratio))?$/i;

/** "/subsamples/0/volumeMl" as people write it: "subsamples[0].volumeMl". */
function fieldName(pointer: string, last?: string): string {
  const parts = [...pointer.split('/').slice(1), ...(last === undefined ? [] : [last])];
  const name = parts.map((part) => (/^\d+$/.test(part) ? `[${part}]` : `.${part}`)).join('');
  return name === '' ? 'the input' : name.replace(/^\./, '');
}

/** What a part of the schema says is accepted. */
const accepted = (part: unknown): string => {
  const description = asObject(part)?.['description'];
  return typeof description === 'string' ? description : 'as the schema says';
};

function shown(value: unknown): unknown {
  return typeof value === 'object' && value !== null ? JSON.stringify(value).slice(0, 60) : value;
}

/** The part of the schema for a field, also where it is given by reference, or where a branch alone asks for it. */
function fieldSchema(schema: unknown, parents: readonly unknown[], field: string): unknown {
  for (const parent of parents) {
    const property = asObject(asObject(asObject(parent)?.['properties'])?.[field]);
    const reference = property?.['$ref'];
    if (typeof reference === 'string')
      return asObject(asObject(schema)?.['$defs'])?.[reference.replace('#/$defs/', '')];
    if (property !== null) return property;
  }
  return undefined;
}

function unknownField({ instancePath, parentSchema }: ErrorObject, field: string): VeligridError {
  const name = fieldName(instancePath, field);
  if (FACTORS.test(field)) {
    return new VeligridError(
      'bad-argument',
      `${name} is not accepted, as a factor or ratio can be read in two ways: give the volumes instead, for example "steps":[{"takenMl":10,"madeUpToMl":100}], where madeUpToMl is the final volume`,
    );
  }
  const known = Object.keys(asObject(asObject(parentSchema)?.['properties']) ?? {}).join(', ');
  return new VeligridError('bad-argument', `${name} is not a field that is known here: accepted are ${known}`);
}

/** One plain sentence for what the validator found. */
function complaint(error: ErrorObject, schema: QuestionSchema, kind: string): VeligridError {
  const { instancePath, keyword, params, parentSchema, data } = error;
  const field = String(
    (params as Record<string, unknown>)['missingProperty'] ?? (params as Record<string, unknown>)['additionalProperty'],
  );
  if (keyword === 'additionalProperties') return unknownField(error, field);
  if (keyword === 'required') {
    const name = fieldName(instancePath, field);
    const root = asObject(asObject(schema)?.['$defs'])?.[kind];
    const part = fieldSchema(schema, [parentSchema, root], field);
    return new VeligridError('bad-argument', `${name} is missing: expected ${accepted(part)}`);
  }
  return badArgument(fieldName(instancePath), accepted(parentSchema), shown(data));
}

/** Checks a question and tells its kind. */
export type QuestionCheck = (question: unknown) => string;

/**
 * Makes the check of a published schema.
 *
 * @param file schema with `oneOf` of references to kinds
 * @returns a check that throws VeligridError `bad-argument` with one sentence that names the field, what is accepted and
 *   what came
 */
export function questionCheck(file: URL): QuestionCheck {
  const schema = JSON.parse(readFileSync(file, 'utf8')) as QuestionSchema;
  const kinds = schema.oneOf.map(({ $ref }) => $ref.replace('#/$defs/', ''));
  let ajv: Ajv2020 | null = null;
  const validator = (kind: string): ValidateFunction => {
    ajv ??= new Ajv2020({ strict: true, strictTypes: false, strictRequired: false, verbose: true, schemas: [schema] });
    const found = ajv.getSchema(`${schema.$id}#/$defs/${kind}`);
    if (found === undefined) throw new Error(`The schema has no ${kind}`);
    return found;
  };
  return (question) => {
    const asked = asObject(question);
    if (asked === null) throw badArgument('the input', 'a JSON object with a kind', shown(question));
    const kind = asked['kind'];
    if (typeof kind !== 'string' || !kinds.includes(kind)) {
      throw badArgument('kind', `one of ${kinds.join(', ')}`, shown(kind));
    }
    const valid = validator(kind);
    if (valid(question)) return kind;
    const errors = valid.errors ?? [];
    // Of an either-or the last error speaks for all branches.
    const error = errors.find(({ keyword }) => keyword === 'anyOf') ?? errors[0];
    throw error === undefined ? badArgument('the input', 'as the schema says', kind) : complaint(error, schema, kind);
  };
}
