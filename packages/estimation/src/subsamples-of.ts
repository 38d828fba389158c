import { badArgument, type ConfirmedCount, type ConfirmedPhoto } from '@veligrid/model';
import type { Subsample } from './count-input.js';
import type { Choose, Tally } from './tally.js';
import { fieldsVolumeMl, squaresVolumeMl, type Area, type Cell, type Step } from './volumes.js';

/** How the photos of a confirmed count stand for the container. */
export interface SubsamplesOptions {
  readonly cell?: Cell;
  /** What a photo without chosen squares shows; without it such photos are refused. */
  readonly field?: Area;
  /** Volume of a slide that was counted whole, in mL, for all photos of a filling together. */
  readonly wholeSlideMl?: number;
  readonly steps?: readonly Step[];
  /** Filling of the slide that a photo belongs to; by default all photos are one filling, which warns. */
  readonly fillingOf?: (photo: string) => string;
  /** Which animals to count; all by default. */
  readonly choose?: Choose;
}

function volumeOf(
  { photo, squares }: ConfirmedPhoto,
  { cell, field, wholeSlideMl }: SubsamplesOptions,
  photos: number,
): number {
  if (squares !== null) return squaresVolumeMl(squares.length, cell);
  // Each photo of a slide counted whole takes its part, so that the parts of a filling add up to the slide.
  if (wholeSlideMl !== undefined) return wholeSlideMl / photos;
  if (field !== undefined) return fieldsVolumeMl(field, cell?.depthMm ?? 1);
  throw badArgument(`the squares of ${photo}`, 'chosen, unless the field or the whole slide is given', 'none');
}

/**
 * Subsamples of a confirmed count with the volume that was looked at: squares, fields, or whole slides.
 *
 * @throws VeligridError `bad-argument` when a photo has neither squares nor any other volume
 */
export function subsamplesOf(count: ConfirmedCount, options: SubsamplesOptions = {}): Subsample[] {
  const { steps = [], fillingOf = () => 'one filling', choose = () => true } = options;
  const inFilling = new Map<string, number>();
  for (const { photo } of count.photos) inFilling.set(fillingOf(photo), (inFilling.get(fillingOf(photo)) ?? 0) + 1);
  return count.photos.map((photo) => {
    const filling = fillingOf(photo.photo);
    return {
      count: photo.objects.filter(choose).length as Tally,
      volumeMl: volumeOf(photo, options, inFilling.get(filling) ?? 1),
      steps,
      filling,
    };
  });
}
