import { figureBook, type Figure } from '@veligrid/hatchery';
import type { Parts } from '@veligrid/storage';
import { shippedPresets } from './load-figures.js';
import { figureChanges, ownFiguresOf, type FigureChange } from './own-figures.js';

/** One figure as the settings show it. */
export interface FigureView {
  /** In force. */
  readonly figure: Figure;
  /** The one that comes with the program; null for the house's own algae and sieve table. */
  readonly shipped: Figure | null;
  readonly own: boolean;
  /** Oldest first. */
  readonly changes: readonly FigureChange[];
}

/** Every figure of a species: in force, as shipped, and what was done to it. */
export async function figuresView(parts: Pick<Parts, 'rules'>, species: string): Promise<FigureView[]> {
  const presets = await shippedPresets(species);
  const shipped = figureBook(presets);
  const own = await ownFiguresOf(parts, species);
  const book = figureBook(presets, own === null ? [] : [own.preset]);
  const changes = await figureChanges(parts, species);
  return [...book.values()].map((figure) => ({
    figure,
    shipped: shipped.get(figure.name) ?? null,
    own: own?.preset.figures.some(({ name }) => name === figure.name) ?? false,
    changes: changes.filter(({ name }) => name === figure.name),
  }));
}
