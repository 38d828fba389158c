import type { Limits } from '@veligrid/estimation';

const threeFigures = (value: number, roundingMode: 'halfExpand' | 'floor' | 'ceil'): string =>
  new Intl.NumberFormat('en-US', { maximumSignificantDigits: 3, roundingMode }).format(value);

/** A number for a sentence: three significant figures, thousands apart. */
export const shown = (value: number): string => threeFigures(value, 'halfExpand');

/** A figure with its limits for a sentence, limits rounded outward. */
export const shownLimits = ({ estimate, low, high }: Limits): string =>
  low === high
    ? shown(estimate)
    : `${shown(estimate)} (${threeFigures(low, 'floor')} to ${threeFigures(high, 'ceil')})`;

/** A part as per cent for a sentence. */
export const percent = (part: number): string => `${shown(100 * part)} %`;
