import type { Limits } from '@veligrid/estimation';

/** One thing in the history of a batch. */
export interface Happening {
  readonly at: string;
  /** In a word or two: `spawn`, `stocked`, `counted`. */
  readonly what: string;
  readonly batch: string | null;
  readonly tank: string | null;
  /** Animals it is about; null when none were counted or moved. */
  readonly animals: Limits | number | null;
  /** The rest in words. */
  readonly text: string;
  /** Who said it. */
  readonly by: string;
  /** Photos by name, and the picture's SHA-256; empty for all but samples. */
  readonly photos: readonly { readonly photo: string; readonly picture: string }[];
}

/** A happening with what is left out taken as nothing. */
export const happening = (
  at: string,
  what: string,
  more: Partial<Omit<Happening, 'at' | 'what'>> & Pick<Happening, 'by'>,
): Happening => ({ at, what, batch: null, tank: null, animals: null, text: '', photos: [], ...more });

/** Parts of a sentence that say something, with commas between them. */
export const words = (...parts: readonly (string | null)[]): string =>
  parts.filter((part) => part !== null && part !== '').join(', ');
