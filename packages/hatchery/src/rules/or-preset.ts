import { figure, numberOf, type Figure, type FigureBook } from '../presets/figure-book.js';

/** A number with the preset it comes from; null when it was given. */
export interface Chosen {
  readonly value: number;
  readonly preset: Figure | null;
}

/** The number as given, else the preset's. */
export function orPreset(given: number | undefined, name: string, book: FigureBook): Chosen {
  if (given !== undefined) return { value: given, preset: null };
  const preset = figure(book, name);
  return { value: numberOf(preset), preset };
}
