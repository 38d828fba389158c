import { BASE, openApi } from '@veligrid/api';
import type { Choose } from './choose.ts';
import { mutated } from './mutate-value.ts';
import { ODD_TEXTS, ODD_VALUES, toWire } from './odd-values.ts';
import { validValue, type Known, type Schema } from './valid-value.ts';
import { formWire, plainWire, wrongWire, type Wire } from './wrong-wire.ts';

/** One request to be sent. */
export interface WrongRequest {
  readonly name: string;
  readonly method: string;
  /** With the query. */
  readonly path: string;
  /** Whether the version asked for is to be sent. */
  readonly ifMatch: boolean;
  readonly wire: Wire | null;
}

interface Parameter {
  readonly name: string;
  readonly in: string;
  readonly schema: Schema;
}

interface Operation {
  readonly operationId: string;
  readonly parameters?: readonly Parameter[];
  readonly requestBody?: { readonly content: Readonly<Record<string, { readonly schema: Schema }>> };
  readonly responses: Readonly<Record<string, { readonly content?: object }>>;
}

interface Described {
  readonly method: string;
  readonly path: string;
  readonly operation: Operation;
}

const endless = ({ responses }: Operation): boolean => JSON.stringify(responses).includes('text/event-stream');

/** Operations of the published description, apart from streams that never end. */
const OPERATIONS: readonly Described[] = Object.entries(
  openApi('0')['paths'] as Record<string, Record<string, Operation>>,
).flatMap(([path, methods]) =>
  Object.entries(methods)
    .filter(([, operation]) => !endless(operation))
    .map(([method, operation]) => ({ method: method.toUpperCase(), path, operation })),
);

/** Operations that take a body. */
export const WITH_BODY = OPERATIONS.filter(({ operation }) => operation.requestBody !== undefined);
const WITHOUT_BODY = OPERATIONS.filter(({ operation }) => operation.requestBody === undefined);

function pathFor({ path }: Described, choose: Choose, known: Known): string {
  return path.replaceAll(/\{(\w+)\}/g, (_, name: string) => {
    const there = known[name];
    if (there === undefined || choose.chance(0.08)) {
      // a lone surrogate can't be written into an address
      return encodeURIComponent(
        choose
          .of(ODD_TEXTS)
          .replaceAll(/\p{Surrogate}/gu, '')
          .slice(0, 3000),
      );
    }
    return encodeURIComponent(String(choose.of(there)));
  });
}

function queryFor({ operation: { parameters = [] } }: Described, choose: Choose, known: Known): string {
  const asked = new URLSearchParams();
  for (const { name, schema } of parameters.filter((one) => one.in === 'query')) {
    if (choose.chance(0.5)) continue;
    const value = choose.chance(0.5) ? validValue(schema, choose, known, name) : choose.of(ODD_TEXTS).slice(0, 3000);
    asked.append(name, String(value));
    if (choose.chance(0.1)) asked.append(name, String(value));
  }
  return asked.size > 0 ? `?${asked.toString()}` : '';
}

const asText = (value: unknown): string => (typeof value === 'string' ? value : JSON.stringify(value));

function formFor(schema: Schema, choose: Choose, known: Known): Wire {
  const { properties = {} } = schema;
  const files = Object.entries(properties).filter(([, { type }]) => type === 'array');
  const texts = Object.entries(properties).filter(([, { type }]) => type !== 'array');
  const parts = Object.fromEntries(
    texts.map(([key, one]) => {
      const value = choose.chance(0.6) ? validValue(one, choose, known, key) : choose.of([...ODD_TEXTS, ...ODD_VALUES]);
      return [key, asText(value).slice(0, 20_000)];
    }),
  );
  const sent = Array.from({ length: choose.of([0, 1, 1, 2, 60]) }, () => ({
    field: choose.chance(0.9) ? (files[0]?.[0] ?? 'files') : choose.of(ODD_TEXTS).slice(0, 100),
    name: choose.chance(0.5) ? 'IMG_1.png' : choose.of(ODD_TEXTS).slice(0, 10_000),
    bytes: choose.chance(0.5) ? new Uint8Array(choose.below(200)) : (known['file']?.[0] as Uint8Array),
  }));
  return formWire(parts, sent, choose);
}

function wireFor({ operation }: Described, choose: Choose, known: Known): Wire | null {
  const [entry] = Object.entries(operation.requestBody?.content ?? {});
  if (entry === undefined) return null;
  const [type, { schema }] = entry;
  if (type !== 'application/json') return formFor(schema, choose, known);
  let value = validValue(schema, choose, known);
  if (choose.chance(0.12)) return wrongWire(toWire(value), choose);
  const changes = choose.of([0, 1, 1, 1, 2, 3]);
  for (let i = 0; i < changes; i += 1) value = mutated(value, choose);
  return value === undefined ? null : plainWire(toWire(value));
}

/** A request made from the published description: right at first, then spoiled in one to three places. */
export function wrongRequest(choose: Choose, known: Known): WrongRequest {
  const described = choose.of(choose.chance(0.85) ? WITH_BODY : WITHOUT_BODY);
  const { method, operation } = described;
  return {
    name: operation.operationId,
    method,
    path: BASE + pathFor(described, choose, known) + queryFor(described, choose, known),
    ifMatch: (operation.parameters ?? []).some((one) => one.name === 'If-Match'),
    wire: wireFor(described, choose, known),
  };
}
