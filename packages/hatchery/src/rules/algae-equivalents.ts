import { figure, numberOf, type Figure, type FigureBook } from '../presets/figure-book.js';

/** What makes one cell of an alga stand for so many of T-Iso. */
export type Equivalence = 'weight' | 'volume' | 'cells';

/** T-Iso cells that one cell stands for. */
export interface CellEquivalent {
  readonly tIso: number;
  readonly figures: readonly Figure[];
}

const FIELD = { weight: 'organic-weight-pg', volume: 'volume-um3' } as const;

/**
 * T-Iso cells that one cell of an alga stands for: ratio of organic weights or of volumes; 1 by number of cells.
 *
 * @param alga as in the presets, `tetraselmis-suecica` for example
 * @throws VeligridError `bad-argument` when no preset has it, with those that are known
 */
export function cellEquivalent(alga: string, by: Equivalence, book: FigureBook): CellEquivalent {
  if (by === 'cells') return { tIso: 1, figures: [] };
  const [own, reference] = [`algae.${alga}.${FIELD[by]}`, `algae.t-iso.${FIELD[by]}`].map((name) => figure(book, name));
  if (own === undefined || reference === undefined) return { tIso: 1, figures: [] };
  return { tIso: numberOf(own) / numberOf(reference), figures: [own, reference] };
}

/** Cells per uL that hold a food volume: um3 per uL over um3 per cell. */
export const cellsPerUl = (biovolumeUm3PerUl: number, cellUm3: number): number => biovolumeUm3PerUl / cellUm3;

/** Part of the most that larvae can eat at a food volume X: X/(X + K), K the half-saturation in the same unit. */
export const functionalResponse = (foodUm3PerUl: number, halfSaturation: number): number =>
  foodUm3PerUl / (foodUm3PerUl + halfSaturation);
