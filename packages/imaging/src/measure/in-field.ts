import type { Field } from '@veligrid/model';

/** Share of a round field's radius that is sharp and bright enough to be used. */
export const USABLE_RADIUS = 0.985;

/** What of a picture can be used. */
export interface Bounds {
  readonly width: number;
  readonly height: number;
  readonly field: Field;
}

/**
 * Distance in pixels from (x, y) to the end of what can be used: the centres of the outermost pixels, and within a round
 * field a circle of 0.985 of its radius. Below 0 outside.
 */
export function roomAround({ width, height, field }: Bounds, x: number, y: number): number {
  const toFrame = Math.min(x, y, width - 1 - x, height - 1 - y);
  if (field.kind === 'frame') return toFrame;
  const fromCentre = Math.sqrt((x - field.centrePx[0]) ** 2 + (y - field.centrePx[1]) ** 2);
  return Math.min(toFrame, USABLE_RADIUS * field.radiusPx - fromCentre);
}
