import type { AreAlike } from './alike-marks.js';
import type { Mark, MarkMap } from './marks.js';

/** Two photos as their marks see them; places and sizes of the second in the first one's scale. */
export interface MarkedPair {
  readonly first: readonly Mark[];
  readonly second: readonly Mark[];
  readonly secondMap: MarkMap;
  readonly areAlike: AreAlike;
  readonly firstWidth: number;
  readonly firstHeight: number;
  /** Size of the second photo. */
  readonly width: number;
  readonly height: number;
  /** Side of the cells in which votes for shifts are gathered. */
  readonly cellPx: number;
  /** Places of one mark in two photos differ by no more than this once they lie on each other. */
  readonly slackPx: number;
}
