import { InvalidArgumentError } from 'commander';

/** A whole number of 1 or more as an argument says it. */
export function wholeAboveZero(text: string): number {
  const value = Number(text);
  if (!/^\d+$/.test(text) || value < 1) throw new InvalidArgumentError('Give a whole number of 1 or more.');
  return value;
}
