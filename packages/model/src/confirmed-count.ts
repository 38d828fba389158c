import type { CountingRule, PhotoCount, Stage } from './detection.js';

declare const signedOff: unique symbol;

/** Which objects belong to a count: a rule at the edge of squares or field, or every object wherever it lies. */
export type ConfirmedRule = CountingRule | 'all-in-view';

/** One object as staff confirmed it. */
export interface ConfirmedObject {
  readonly id: string;
  readonly stage: Stage;
  readonly form: 'normal' | 'abnormal' | 'not-judged';
  /** Name of the ruled square that holds the centroid, or null. */
  readonly square: string | null;
  readonly lengthUm: number | null;
  readonly heightUm: number | null;
  /** Whether the length may be used: neither cut, edge-on nor out of focus. */
  readonly measurable: boolean;
}

/** One photo of a confirmed count with what was counted in it. */
export interface ConfirmedPhoto {
  readonly photo: string;
  readonly method: PhotoCount['method'];
  /** Names of the squares counted, or null when the whole field was. */
  readonly squares: readonly string[] | null;
  /** What lies in the counted squares, eggs and larvae only. */
  readonly objects: readonly ConfirmedObject[];
}

/**
 * A count that staff have signed off. Only `confirm` of the review room makes one: an object of the same fields is
 * refused by the compiler, so no total can be had from what nobody has looked at.
 */
export interface ConfirmedCount {
  readonly [signedOff]: 'by staff';
  /** Who signed it off. */
  readonly by: string;
  /** When, ISO 8601 with zone. */
  readonly at: string;
  readonly countingRule: ConfirmedRule;
  /** Version of the rules for stages and kinds, the same for all photos. */
  readonly rulesVersion: string;
  /** How many decisions stood when it was signed off; later ones need a new sign-off. */
  readonly decisions: number;
  readonly photos: readonly ConfirmedPhoto[];
}
