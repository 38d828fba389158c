import { readFileSync } from 'node:fs';
import { estimateCount, exactly, handTally, type CountEstimate, type Limits } from '@veligrid/estimation';
import { figureBook, parseFigures, type FigureBook, type FigurePreset } from '@veligrid/hatchery';

/** A shipped preset. */
const preset = (name: string): FigurePreset =>
  parseFigures(
    JSON.parse(readFileSync(new URL(`../../../packages/hatchery/presets/${name}.json`, import.meta.url), 'utf8')),
  );

/** Figures of a species. */
export const bookOf = (species: string): FigureBook => figureBook([preset('common'), preset(species)]);

/** The shipped presets of the eastern oyster. */
export const shipped = [preset('common'), preset('eastern-oyster')];

/** Figures of the eastern oyster. */
export const book = bookOf('eastern-oyster');

/** Codes of the warnings. */
export const codes = (plan: { readonly warnings: readonly { readonly code: string }[] }): string[] =>
  plan.warnings.map(({ code }) => code);

/** A figure without limits, or +/- a part around it. */
export const amount = (value: number, part = 0): Limits =>
  part === 0 ? exactly(value) : { estimate: value, low: value / (1 + part), high: value * (1 + part) };

/** A count with exact volumes and no history. */
export const counted = (
  counts: readonly number[],
  ml: number | readonly number[],
  containerMl: number,
): CountEstimate =>
  estimateCount({
    container: { volumeMl: containerMl, relativeStandardUncertainty: 0 },
    volumeRelativeStandardUncertainty: 0,
    history: 'none',
    subsamples: counts.map((count, i) => ({
      count: handTally(count),
      volumeMl: typeof ml === 'number' ? ml : (ml[i] ?? 1),
    })),
  });
