import type { Level } from '@veligrid/estimation';
import type { FigureBook, StageSizes } from '@veligrid/hatchery';
import type { Values } from './read-values.js';

/** What every answer is worked out with. */
export interface Context {
  readonly values: Values;
  readonly book: FigureBook;
  readonly level: Level;
  /** Sizes of the species' stages, from its staging preset. */
  readonly sizes: readonly StageSizes[];
}
