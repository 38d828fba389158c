import type { Outline } from '../raster.js';
import { circularity } from './circularity.js';
import { convexHull } from './convex-hull.js';
import { equivalentDiameter } from './equivalent-diameter.js';
import { feret, type Feret } from './feret.js';
import { outlineMoments, type OutlineMoments } from './outline-moments.js';
import { perimeter } from './perimeter.js';
import { solidity } from './solidity.js';

/** What an outline alone tells, in pixels. */
export interface OutlineMeasures extends OutlineMoments {
  readonly equivalentDiameterPx: number;
  readonly perimeterPx: number;
  /** Convex hull, clockwise on the screen. */
  readonly hull: Outline;
  readonly feret: Feret;
  /** Area over area of the convex hull, 0..1. */
  readonly solidity: number;
  /** 4 pi area over perimeter squared, 0..1. */
  readonly circularity: number;
}

/** All measures of a closed outline that need neither picture nor scale; each is defined where it is computed. */
export function measureOutline(outline: Outline): OutlineMeasures {
  const moments = outlineMoments(outline);
  const hull = convexHull(outline);
  const perimeterPx = perimeter(outline);
  return {
    ...moments,
    equivalentDiameterPx: equivalentDiameter(moments.areaPx2),
    perimeterPx,
    hull,
    feret: feret(hull),
    solidity: solidity(moments.areaPx2, hull),
    circularity: circularity(moments.areaPx2, perimeterPx),
  };
}
