import type { Limits } from '@veligrid/estimation';

/** A number for a sentence: three significant figures, thousands apart. */
export const shown = (value: number): string =>
  value.toLocaleString('en-US', { maximumSignificantDigits: 3, useGrouping: true });

/** A figure with its limits for a sentence. */
export const shownLimits = ({ estimate, low, high }: Limits): string =>
  low === high ? shown(estimate) : `${shown(estimate)} (${shown(low)} to ${shown(high)})`;

/** A part as per cent for a sentence. */
export const percent = (part: number): string => `${shown(100 * part)} %`;
