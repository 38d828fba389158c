import type { Found } from '../found.js';
import type { MeasuredObject } from '../measure/measure-object.js';
import type { Outline, Raster } from '../raster.js';
import { bleb, fringe, unevenness } from './features/bleb.js';
import { bodyDensity } from './features/body-density.js';
import { eyeSpot } from './features/eye-spot.js';
import { finderOpinion } from './features/finder-opinion.js';
import { gutColour } from './features/gut-colour.js';
import { lobes } from './features/lobes.js';
import { focus, outlineShape, size } from './features/outline-shape.js';
import { paleSpot } from './features/pale-spot.js';
import { polarView } from './features/polar-view.js';
import { radialProfile } from './features/radial-profile.js';
import { furrows, texture } from './features/texture.js';
import { umbo } from './features/umbo.js';

/** One object to be staged. */
export interface ObjectToStage {
  readonly found: Pick<Found, 'classProbabilities'>;
  readonly outline: Outline;
  readonly measured: MeasuredObject;
}

/** The features that cost next to nothing, for objects that are no larva: size, shape, sharpness, the finder's opinion. */
export function plainFeatures({ found, measured }: Pick<ObjectToStage, 'found' | 'measured'>): Record<string, number> {
  return {
    ...size(measured),
    ...outlineShape(measured),
    ...focus(measured),
    ...finderOpinion(found.classProbabilities),
  };
}

/**
 * All features of one object by name, finite numbers; what each means, its unit and range stand at the function that
 * makes it. Features that can't be had (sizes without a scale) are left out.
 *
 * @param raster picture of two pixels or more along each side
 * @param umPerPx scale, or null
 */
export function stageFeatures(
  raster: Raster,
  { found, outline, measured }: ObjectToStage,
  umPerPx: number | null,
): Record<string, number> {
  const { lengthPx } = measured.measures;
  const viewed = {
    outline,
    x: measured.x,
    y: measured.y,
    axisRad: (measured.axisDeg * Math.PI) / 180,
    equivalentDiameterPx: measured.equivalentDiameterPx,
  };
  const view = polarView(raster, viewed);
  const rings = unevenness(view);
  return {
    ...plainFeatures({ found, measured }),
    ...lobes(view.radiiPx),
    ...umbo(view.radiiPx, lengthPx),
    ...bodyDensity(view),
    ...radialProfile(view),
    ...texture(view),
    ...furrows(view),
    ...paleSpot(view),
    ...bleb(view, rings),
    ...fringe(view, rings),
    ...gutColour(view),
    ...eyeSpot(raster, viewed, lengthPx, umPerPx),
  };
}
