import { InvalidArgumentError } from 'commander';

/** A number above 0 from the command line. */
export function aboveZero(text: string): number {
  const value = Number(text);
  if (text.trim() === '' || !Number.isFinite(value) || value <= 0)
    throw new InvalidArgumentError('Give a number above 0.');
  return value;
}
