import type { Answered, Desk } from './desk.js';
import { field, type Field, type Given } from './given.js';

/** A kind of entry: what is asked for it, and how it is kept. Commands and files of a season both go by it. */
export interface Kind {
  /** As files of a season name it. */
  readonly name: string;
  readonly about: string;
  readonly fields: readonly Field[];
  /** @throws VeligridError with one sentence when something given can't be taken */
  readonly keep: (given: Given, desk: Desk) => Promise<Answered>;
}

export const AT: Field = field('at', 'when, such as 2026-05-06T08:40Z (default: now)', { needed: 'in-files' });
export const NOTE: Field = field('note', 'anything else');

/** When it happened; now when nothing is said. */
export const timeOrNow = (given: Given, { now }: Desk): string => given.maybeTime('at') ?? now();
