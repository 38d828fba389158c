import type { Limits } from '@veligrid/estimation';
import { around, threeFigures } from '../../limits-text.js';
import { textTable } from '../../text-table.js';

/** A figure with limits, or alone where it is exact. */
export const limitsWords = (limits: Limits, factor = 1, unit = ''): string =>
  limits.low === limits.high ? `${threeFigures(limits.estimate * factor)}${unit}` : around(limits, factor, unit);

/** A part as per cent with limits. */
export const shareWords = (share: Limits): string => limitsWords(share, 100, ' %');

/** A number of mL: as litres from one litre on. */
export const millilitres = (ml: number): string =>
  ml >= 1000 ? `${threeFigures(ml / 1000)} L` : `${threeFigures(ml)} mL`;

/** mL with limits: as litres from one litre on. */
export const volumeWords = (ml: Limits): string =>
  ml.estimate >= 1000 ? limitsWords(ml, 1e-3, ' L') : limitsWords(ml, 1, ' mL');

/** Rows as lines, the first column at the left and the others at the right. */
export function tableLines(rows: readonly (readonly string[])[]): string[] {
  const right = (rows[0] ?? []).map((_, column) => column).slice(1);
  return textTable(rows, { right }).trimEnd().split('\n');
}

/** A line of a label and what belongs to it, in one column. */
export const line = (label: string, value: string): string => `${label.padEnd(34)}${value}`;

/** A number that was typed, as it was. */
export const asTyped = (value: number): string => value.toLocaleString('en-US', { maximumFractionDigits: 2 });
