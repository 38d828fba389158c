import type { Kind } from '@veligrid/model';
import type { Outline } from '../raster.js';
import { foldAxis } from './fold-axis.js';
import { straightEdge, type StraightEdge } from './straight-edge.js';

/** Direction along which length is measured. */
export interface LengthAxis {
  /** Radians clockwise from x, 0 up to, not including, pi. */
  readonly axisRad: number;
  /** The hinge of an object with a shell, the longest straight edge of any other; null when there is none. */
  readonly edge: StraightEdge | null;
}

/** Greatest angle between a straight edge and the hinge's rough direction at which it is taken for the hinge. */
const HINGE_WITHIN_RAD = Math.PI / 12;

/**
 * Direction of the length of an object: parallel to the hinge for larvae with a shell, alive or empty, the greatest Feret
 * diameter for all others (common practice in hatcheries: shell length is the greatest dimension parallel to the hinge).
 *
 * The hinge is the longest straight edge within 15 degrees of its rough direction; without such an edge (an umbo hides
 * it) the rough direction itself; without one the longest straight edge; without any the greatest Feret diameter.
 *
 * @param maxFeret greatest Feret diameter in pixels, and its direction
 * @param hingeAxisRad rough direction of the hinge in radians clockwise from x, or null
 */
export function lengthAxis(
  outline: Outline,
  maxFeret: { readonly maxPx: number; readonly maxAxisRad: number },
  kind: Kind,
  hingeAxisRad: number | null,
): LengthAxis {
  if (!isShelled(kind)) return { axisRad: maxFeret.maxAxisRad, edge: straightEdge(outline, maxFeret.maxPx) };
  if (hingeAxisRad === null) {
    const edge = straightEdge(outline, maxFeret.maxPx);
    return { axisRad: edge?.axisRad ?? maxFeret.maxAxisRad, edge };
  }
  const edge = straightEdge(outline, maxFeret.maxPx, { aboutRad: hingeAxisRad, withinRad: HINGE_WITHIN_RAD });
  return { axisRad: edge?.axisRad ?? foldAxis(hingeAxisRad), edge };
}

/** Whether objects of a kind have a shell, and with it a hinge. */
export const isShelled = (kind: Kind): boolean => kind === 'shelled-larva' || kind === 'empty-or-dead';
