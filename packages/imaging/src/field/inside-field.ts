import type { Field } from '@veligrid/model';

/**
 * Whether a point lies in the usable part of the picture.
 *
 * @param field as `findField` gives it
 * @param x pixels from the centre of the left column
 * @param y pixels from the centre of the top row
 * @returns true everywhere in a full frame; in a round field on and inside its circle
 */
export function insideField(field: Field, x: number, y: number): boolean {
  if (field.kind === 'frame') return true;
  return Math.hypot(x - field.centrePx[0], y - field.centrePx[1]) <= field.radiusPx;
}
