import type { Limits } from '@veligrid/estimation';

/** What a view answers: a list of rows, or fields, some of which are lists of rows. */
export type Row = Readonly<Record<string, Cell>>;
export type Cell = string | number | boolean | null | readonly string[] | Limits;
export type View = Readonly<Record<string, Cell | readonly Row[]>>;

/** A number for people: three significant figures. */
export function figure(value: number): string {
  if (Number.isInteger(value) && Math.abs(value) < 1000) return String(value);
  const rounded = Number(value.toPrecision(3));
  return Math.abs(rounded) >= 1e-3 ? rounded.toLocaleString('en-US', { maximumFractionDigits: 6 }) : String(rounded);
}

/** A number with its limits as people read it; the number alone where it is exact. */
export const limitsText = ({ estimate, low, high }: Limits): string =>
  low === estimate && high === estimate ? figure(estimate) : `${figure(estimate)} (${figure(low)} to ${figure(high)})`;
