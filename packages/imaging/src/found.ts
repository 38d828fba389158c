import type { Kind } from '@veligrid/model';
import type { Outline } from './raster.js';

/** One object as the finder proposes it, in pixels of the full-scale picture. */
export interface Found {
  readonly x: number;
  readonly y: number;
  /** Coarse outline, star-shaped about (x, y). */
  readonly outline: Outline;
  /** Calibrated probability that an object of this kind is here, 0..1. */
  readonly score: number;
  readonly kind: Kind;
  /** Probability of each kind, 0..1, adding up to 1. */
  readonly kindProbabilities: Readonly<Record<Kind, number>>;
  /** Probability of each class the network was trained on, 0..1, adding up to 1; names are the finder's own. */
  readonly classProbabilities: Readonly<Record<string, number>>;
  /** Direction of the hinge in radians clockwise from x, 0..pi; only meaningful for shelled kinds, else null. */
  readonly hingeAxisRad: number | null;
}
