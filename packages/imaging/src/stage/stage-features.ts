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

/** The picture that objects lie on. */
export interface StageScene {
  readonly raster: Raster;
  /** Scale that can be relied on, or null. */
  readonly umPerPx: number | null;
  readonly ground: 'light' | 'dark';
}

/** All parts in one record. Spreading a dozen records into one took a tenth of all the time of staging. */
function together(parts: readonly Readonly<Record<string, number>>[]): Record<string, number> {
  const all: Record<string, number> = {};
  for (const part of parts) for (const name in part) all[name] = part[name];
  return all;
}

/** The features that cost next to nothing, for objects that are no larva: size, shape, sharpness, the finder's opinion. */
export function plainFeatures({ found, measured }: Pick<ObjectToStage, 'found' | 'measured'>): Record<string, number> {
  return together([size(measured), outlineShape(measured), focus(measured), finderOpinion(found.classProbabilities)]);
}

/**
 * All features of one object by name, finite numbers; what each means, its unit and range stand at the function that
 * makes it. Features that can't be had are left out: sizes without a scale, and on a dark ground, where light is scattered
 * and not held back, all that rests on how dark a larva is.
 *
 * @param scene picture of two pixels or more along each side, its scale or null, and its ground
 */
export function stageFeatures(
  { raster, umPerPx, ground }: StageScene,
  { found, outline, measured }: ObjectToStage,
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
  const shape = [plainFeatures({ found, measured }), lobes(view.radiiPx), umbo(view.radiiPx, lengthPx)];
  if (ground === 'dark') return together(shape);
  const rings = unevenness(view);
  return together([
    ...shape,
    bodyDensity(view),
    radialProfile(view),
    texture(view),
    furrows(view),
    paleSpot(view),
    bleb(view, rings),
    fringe(view, rings),
    gutColour(view),
    eyeSpot(raster, viewed, lengthPx, umPerPx),
  ]);
}
