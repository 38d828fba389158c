import type { Flag, Kind } from '@veligrid/model';
import type { Outline } from '../raster.js';
import type { Bounds } from './in-field.js';
import { isCut } from './is-cut.js';
import { isGaping } from './is-gaping.js';
import { isOnLine, type DistanceToLine } from './is-on-line.js';
import { isShelled, type LengthAxis } from './length-axis.js';
import type { OutlineMeasures } from './measure-outline.js';

/** An edge that rises over more than this share of the length makes the length a guess: out of focus. */
const BLURRED_EDGE = 0.27;
/** Larvae with a shell whose least Feret diameter is below this share of the greatest are seen on their edge. */
const EDGE_ON_RATIO = 0.7;

/** What the flags of one object are judged by. */
export interface FlagEvidence {
  readonly outline: Outline;
  readonly kind: Kind;
  readonly measured: OutlineMeasures;
  readonly axis: LengthAxis;
  readonly lengthPx: number;
  /** Whether there was ground to see the rim on. */
  readonly hasGround: boolean;
  /** 10-90 % rise of the rim in pixels; null when no edge was seen. */
  readonly edgeWidthPx: number | null;
  readonly bounds: Bounds;
  readonly distanceToLine: DistanceToLine | null;
}

/**
 * Flags of one object that can be told without its neighbours, in the order of the model's list.
 *
 * - cut: see `isCut`.
 * - on-line: a ruled line meets it, see `isOnLine`.
 * - out-of-focus: the rim rises over more than 27 % of the length, or none is seen. On drawn slides with known
 *   blur and outlines this finds 9 of 10 objects blurred (radius) over more than 30 % of their length; 7 of 8 flagged
 *   ones are blurred over more than 20 %.
 * - edge-on: a shell whose least Feret diameter is below 0.70 of the greatest. Larvae that lie flat keep above 0.74 on
 *   drawn slides; those below were tilted by more than 35 degrees. Larvae tilted towards the hinge's ends can look round
 *   and are not told.
 * - gaping: see `isGaping`.
 */
export function objectFlags(evidence: FlagEvidence): Flag[] {
  const { outline, kind, measured, axis, lengthPx, edgeWidthPx, bounds, distanceToLine } = evidence;
  const flags: Flag[] = [];
  if (isCut(outline, bounds)) flags.push('cut');
  if (distanceToLine !== null && isOnLine(outline, distanceToLine)) flags.push('on-line');
  if (evidence.hasGround && (edgeWidthPx ?? Infinity) > BLURRED_EDGE * lengthPx) flags.push('out-of-focus');
  if (isShelled(kind)) {
    if (measured.feret.minPx < EDGE_ON_RATIO * measured.feret.maxPx) flags.push('edge-on');
    if (isGaping(outline, measured, axis, lengthPx)) flags.push('gaping');
  }
  return flags;
}
