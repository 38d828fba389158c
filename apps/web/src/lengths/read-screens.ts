import { readNumber } from '../words/numbers.js';

/** Apertures typed with commas or blanks between them. */
export const readScreens = (text: string): number[] =>
  text
    .split(/[;\s]+|,\s+/)
    .map((one) => readNumber(one))
    .filter((um): um is number => um !== null && um > 0 && um < 5000)
    .slice(0, 8);
