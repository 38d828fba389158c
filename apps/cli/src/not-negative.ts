import { InvalidArgumentError } from 'commander';

/** A number of 0 or more from the command line. */
export function notNegative(text: string): number {
  const value = Number(text);
  if (text.trim() === '' || !Number.isFinite(value) || value < 0) {
    throw new InvalidArgumentError('Give a number of 0 or more.');
  }
  return value;
}
