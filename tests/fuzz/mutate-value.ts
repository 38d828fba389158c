import type { Choose } from './choose.ts';
import { ODD_TEXTS, ODD_VALUES } from './odd-values.ts';

type Mutation = (value: unknown, choose: Choose) => unknown;

const isObject = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

const oddOne: Mutation = (_, choose) => choose.of(choose.chance(0.5) ? ODD_TEXTS : ODD_VALUES);

const wrapped: Mutation = (value, choose) => choose.of([[value], { value }, [[value, value]], String(value)]);

const withoutOne: Mutation = (value, choose) => {
  if (Array.isArray(value)) return value.slice(1) as unknown[];
  if (!isObject(value)) return undefined;
  const gone = choose.of(Object.keys(value));
  return Object.fromEntries(Object.entries(value).filter(([key]) => key !== gone));
};

const withMore: Mutation = (value, choose) => {
  if (Array.isArray(value)) return [...(value as unknown[]), choose.of(ODD_VALUES)];
  if (!isObject(value)) return oddOne(value, choose);
  return Object.fromEntries([...Object.entries(value), [choose.of(ODD_TEXTS), choose.of(ODD_VALUES)]]);
};

const repeated: Mutation = (value, choose) =>
  Array.isArray(value) ? Array.from({ length: choose.of([2, 100, 3000]) }, () => value[0] as unknown) : [value, value];

const otherSign: Mutation = (value, choose) => (typeof value === 'number' ? -value : oddOne(value, choose));

const longer: Mutation = (value) => (typeof value === 'string' ? value.repeat(3000) : value);

const MUTATIONS: readonly Mutation[] = [
  oddOne,
  oddOne,
  oddOne,
  wrapped,
  withoutOne,
  withMore,
  repeated,
  otherSign,
  longer,
];

/** Changes one place of a value, the whole or a part deep inside. */
export function mutated(value: unknown, choose: Choose): unknown {
  const inside = Array.isArray(value) ? value.length > 0 : isObject(value) && Object.keys(value).length > 0;
  if (!inside || choose.chance(0.25)) return choose.of(MUTATIONS)(value, choose);
  if (Array.isArray(value)) {
    const at = choose.below(value.length);
    return value.map((one: unknown, i) => (i === at ? mutated(one, choose) : one));
  }
  const at = choose.of(Object.keys(value as object));
  return Object.fromEntries(
    Object.entries(value as object).map(([key, one]) => [key, key === at ? mutated(one, choose) : (one as unknown)]),
  );
}
