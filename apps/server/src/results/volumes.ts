import type { CountingNotes, Filling } from '@veligrid/api';
import { concentrationOf, fieldsVolumeMl, squaresVolumeMl } from '@veligrid/estimation';
import type { PhotoCount } from '@veligrid/model';

/** What one photo of a count stands for. */
export interface PhotoVolume {
  /** Number of its filling. */
  readonly filling: number;
  /** Volume looked at on the slide, mL; null when it can't be told. */
  readonly slideMl: number | null;
  /** The same as part of the container's water, mL. */
  readonly containerMl: number | null;
  readonly steps: Filling['steps'];
  /** Why there is no volume and what to do; null when there is one. */
  readonly why: string | null;
}

/** A photo that counts, with the squares counted in it. */
export interface CountedPhoto {
  readonly count: PhotoCount;
  readonly name: string;
  readonly filling: number;
  readonly squares: readonly string[] | null;
}

/** Depth of each ruled cell when nothing else is said, mm: by their makers' definition. */
const DEPTH_MM = { 'sedgwick-rafter': 1, haemocytometer: 0.1, none: null } as const;

const depthOf = ({ kind, depthMm }: CountingNotes['cell']): number | null => depthMm ?? DEPTH_MM[kind];

type Told = { readonly ml: number } | { readonly why: string };

function fieldVolume({ count, name }: CountedPhoto, depthMm: number): Told {
  const { shape, areaMm2 } = count.counting;
  if (shape.kind === 'squares') return { why: `Choose the squares that are counted in ${name}.` };
  if (areaMm2 === null)
    return { why: `${name} has no scale, so its area is not known. Give the scale in a new sample.` };
  return { ml: fieldsVolumeMl({ kind: 'frame', widthMm: areaMm2, heightMm: 1 }, depthMm) };
}

function slideVolume(photo: CountedPhoto, cell: CountingNotes['cell']): Told {
  const depthMm = depthOf(cell);
  if (depthMm === null) return { why: 'Give the depth of the cell, or the volume on the slide.' };
  const { count, squares } = photo;
  if (squares === null) return fieldVolume(photo, depthMm);
  if (count.grid === null) return { why: `${photo.name} shows no ruled lines, so squares have no size.` };
  return { ml: squaresVolumeMl(squares.length, { sideMm: count.grid.pitchUm / 1000, depthMm }) };
}

/** Volumes that photos stand for, in their order. Photos of a slide counted whole share its volume. */
export function photoVolumes(
  photos: readonly CountedPhoto[],
  fillings: readonly Filling[],
  cell: CountingNotes['cell'],
): PhotoVolume[] {
  return photos.map((photo): PhotoVolume => {
    const { steps = [], wholeSlideMl = null } = fillings[photo.filling - 1] ?? {};
    const sharing = photos.filter(({ filling }) => filling === photo.filling).length;
    const told: Told = wholeSlideMl === null ? slideVolume(photo, cell) : { ml: wholeSlideMl / sharing };
    const common = { filling: photo.filling, steps };
    if ('why' in told) return { ...common, slideMl: null, containerMl: null, why: told.why };
    return { ...common, slideMl: told.ml, containerMl: told.ml * concentrationOf(steps), why: null };
  });
}
