import type { Scale, Warning } from '@veligrid/model';

/** What is known of a photo's scale. */
export interface ScaleEvidence {
  /** Scale given by the user, micrometres per pixel, or null. */
  readonly givenUmPerPx: number | null;
  /** Ruled lines seen, or null. */
  readonly grid: {
    readonly pitchUm: number;
    readonly umPerPx: number;
    readonly relativeStandardUncertainty: number;
  } | null;
  /** Scale written into the file, or null. */
  readonly hint: { readonly umPerPx: number; readonly from: 'exif' | 'tiff' } | null;
}

/** The scale taken, and what the user should know of it. */
export interface ChosenScale {
  readonly scale: Scale;
  readonly warnings: readonly Warning[];
}

/** Relative standard uncertainty of a scale the user gives without one; common practice, no source. */
const GIVEN_UNCERTAINTY = 0.005;
/** Relative standard uncertainty of a scale that only the file states; common practice, no source. */
const HINT_UNCERTAINTY = 0.05;
/** A given scale farther than this from the ruled lines is a warning. */
const MOST_DISAGREEMENT = 0.02;

const figure = (value: number): string => value.toPrecision(4);

function givenScale(umPerPx: number, grid: ScaleEvidence['grid']): ChosenScale {
  const scale: Scale = { umPerPx, source: 'given', relativeStandardUncertainty: GIVEN_UNCERTAINTY };
  if (grid === null || Math.abs(umPerPx / grid.umPerPx - 1) <= MOST_DISAGREEMENT) return { scale, warnings: [] };
  const message =
    `The given scale is ${figure(umPerPx)} um/px, but the ruled lines, taken as ${figure(grid.pitchUm)} um apart, say ` +
    `${figure(grid.umPerPx)} um/px. Check the objective the scale was taken for, and the kind of cell.`;
  return { scale, warnings: [{ code: 'scale-disagrees-with-grid', message }] };
}

/**
 * Picks the scale of a photo: the given one, else that of the ruled lines, else the one the file states (labelled, with a
 * warning), else none.
 */
export function chooseScale({ givenUmPerPx, grid, hint }: ScaleEvidence): ChosenScale {
  if (givenUmPerPx !== null) return givenScale(givenUmPerPx, grid);
  if (grid !== null) {
    const { umPerPx, relativeStandardUncertainty, pitchUm } = grid;
    const scale: Scale = { umPerPx, source: 'ruled-cell', relativeStandardUncertainty, assumedPitchUm: pitchUm };
    const message = `The scale, ${figure(umPerPx)} um/px, rests on ruled lines taken as ${figure(pitchUm)} um apart.`;
    return { scale, warnings: [{ code: 'scale-from-ruled-cell', message }] };
  }
  if (hint !== null) {
    const { umPerPx } = hint;
    const scale: Scale = { umPerPx, source: 'exif', relativeStandardUncertainty: HINT_UNCERTAINTY };
    const message =
      `The scale, ${figure(umPerPx)} um/px, is only what the file states (${hint.from === 'exif' ? 'EXIF' : 'TIFF'} ` +
      'resolution). Check it against a stage micrometer, or give the scale.';
    return { scale, warnings: [{ code: 'scale-from-photo-tag', message }] };
  }
  const message =
    'No scale: give one in um per pixel, or photograph the ruled lines. Objects are counted; lengths are left empty.';
  return {
    scale: { umPerPx: null, source: 'none', relativeStandardUncertainty: null },
    warnings: [{ code: 'no-scale', message }],
  };
}
