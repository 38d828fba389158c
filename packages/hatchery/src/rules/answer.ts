import type { Warning } from '@veligrid/model';
import type { Figure } from '../presets/figure-book.js';
import type { Caution } from './cautions.js';

/** What every rule gives besides its own figures. */
export interface Plan {
  /** Presets that were used, each with its source. */
  readonly figures: readonly Figure[];
  /** What looks wrong, with a sentence that says what to do. */
  readonly warnings: readonly Warning[];
  /** What to heed, each once, with its source; local rules come first. */
  readonly cautions: readonly Caution[];
}

/** The warnings that hold, in the order given. */
export const raised = (list: readonly (Warning | false)[]): Warning[] => list.filter((one) => one !== false);

/** Each figure once, in the order of first use. */
export const usedFigures = (list: readonly (Figure | null)[]): Figure[] => [
  ...new Set(list.filter((one) => one !== null)),
];
