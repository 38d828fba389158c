import type { Choose } from './choose.ts';

/** JSON Schema as far as the description of the interface uses it. */
export interface Schema {
  readonly type?: string;
  readonly const?: unknown;
  readonly enum?: readonly unknown[];
  readonly anyOf?: readonly Schema[];
  readonly oneOf?: readonly Schema[];
  readonly allOf?: readonly Schema[];
  readonly properties?: Readonly<Record<string, Schema>>;
  readonly required?: readonly string[];
  readonly items?: Schema;
  readonly prefixItems?: readonly Schema[];
  readonly minItems?: number;
  readonly maxItems?: number;
  readonly minLength?: number;
  readonly maxLength?: number;
  readonly format?: string;
  readonly minimum?: number;
  readonly maximum?: number;
}

/** Values that are there on the server, by the name of the field that takes them. */
export type Known = Readonly<Record<string, readonly unknown[]>>;

const WORDS = ['Tank 7', 'larvae look fine', 'Austernlarve ñ', '幼生', 'D', "O'Hara", 'a"b', '7'];
const MOST_OPTIONAL = 0.6;

function textOf({ format, minLength = 0, maxLength = 200 }: Schema, choose: Choose): string {
  if (format === 'date-time') return new Date(1.7e12 + choose.below(9e10)).toISOString();
  const text = choose.of(WORDS).padEnd(minLength, 'x');
  return text.slice(0, maxLength);
}

function numberOf({ type, minimum = -1000, maximum = 100_000 }: Schema, choose: Choose): number {
  if (choose.chance(0.1)) return choose.of([minimum, maximum]);
  const low = Math.max(minimum, -1000);
  const high = Math.min(maximum, low + choose.of([3, 100, 100_000]));
  const value = low + choose.share() * (high - low);
  return type === 'integer' ? Math.min(high, Math.round(value)) : value;
}

function objectOf({ properties = {}, required = [] }: Schema, choose: Choose, known: Known): object {
  const kept = Object.entries(properties).filter(([key]) => required.includes(key) || choose.chance(MOST_OPTIONAL));
  return Object.fromEntries(kept.map(([key, schema]) => [key, validValue(schema, choose, known, key)]));
}

function listOf(schema: Schema, choose: Choose, known: Known, key: string): unknown[] {
  const { prefixItems, items = {}, minItems = 0, maxItems = 5 } = schema;
  if (prefixItems !== undefined) return prefixItems.map((one) => validValue(one, choose, known, key));
  const length = Math.min(maxItems, minItems + choose.below(4));
  return Array.from({ length }, () => validValue(items, choose, known, key));
}

/** A value of one type. */
function typed(schema: Schema, choose: Choose, known: Known, key: string): unknown {
  switch (schema.type) {
    case 'object':
      return objectOf(schema, choose, known);
    case 'array':
      return listOf(schema, choose, known, key);
    case 'string':
      return textOf(schema, choose);
    case 'number':
    case 'integer':
      return numberOf(schema, choose);
    case 'boolean':
      return choose.chance(0.5);
    case undefined:
    default:
      return null;
  }
}

/** A value that fits a schema, with what is there on the server wherever a field names something. */
export function validValue(schema: Schema, choose: Choose, known: Known, key = ''): unknown {
  const choices = schema.anyOf ?? schema.oneOf;
  if (choices !== undefined) return validValue(choose.of(choices), choose, known, key);
  if (schema.const !== undefined) return schema.const;
  if (schema.enum !== undefined) return choose.of(schema.enum);
  const there = ['string', 'integer', 'number'].includes(schema.type ?? '') ? known[key] : undefined;
  return there !== undefined && choose.chance(0.85) ? choose.of(there) : typed(schema, choose, known, key);
}
