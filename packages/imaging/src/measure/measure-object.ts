import { badArgument, type Detection, type Field, type Kind, type Measures } from '@veligrid/model';
import type { Outline, Raster } from '../raster.js';
import { darkness } from './darkness.js';
import { extentAlong } from './extent-along.js';
import type { Bounds } from './in-field.js';
import type { DistanceToLine } from './is-on-line.js';
import { lengthAxis, type LengthAxis } from './length-axis.js';
import { lengthUncertainty } from './length-uncertainty.js';
import { localGround } from './local-ground.js';
import { measureOutline, type OutlineMeasures } from './measure-outline.js';
import { objectFlags } from './object-flags.js';
import { rimPoints } from './rim-points.js';
import { rimProfile } from './rim-profile.js';

/** An object whose outline is known. */
export interface ObjectToMeasure {
  /** Closed outline of the shell or egg in pixels: three points or more that enclose an area. */
  readonly outline: Outline;
  readonly kind: Kind;
  /** Rough direction of the hinge in radians clockwise from x, or null; used for kinds with a shell. */
  readonly hingeAxisRad: number | null;
}

/** The picture that objects are measured on. */
export interface Scene {
  readonly raster: Raster;
  readonly field: Field;
  /** Micrometres per pixel, above 0, with its relative standard uncertainty (null counts as 0); or null without a scale. */
  readonly scale: {
    readonly umPerPx: number | null;
    readonly relativeStandardUncertainty: number | null;
  };
  /**
   * Scale at a place over the scale of the whole picture, above 0; differs from 1 where the slide was tilted or the lens
   * bends. Default 1 everywhere.
   */
  readonly localScale?: (x: number, y: number) => number;
  /** Distance to the edge of the nearest ruled line; null when there are no lines. */
  readonly distanceToLine: DistanceToLine | null;
}

/** Measures of one object, as a detection holds them; micrometre fields are null without a scale. */
export interface MeasuredObject extends Pick<
  Detection,
  | 'x'
  | 'y'
  | 'lengthUm'
  | 'lengthStandardUncertaintyUm'
  | 'heightUm'
  | 'axisDeg'
  | 'areaUm2'
  | 'equivalentDiameterUm'
  | 'measures'
  | 'flags'
> {
  readonly equivalentDiameterPx: number;
  /** Standard uncertainty of the length in pixels, that of the scale included. */
  readonly lengthStandardUncertaintyPx: number;
}

/** Points of the rim at which ground and edge are looked at. */
const RIM_POINTS = 36;

/**
 * Measures one object: geometry of its outline, and darkness, contrast and sharpness of its rim in the picture. Length
 * is measured along `lengthAxis`, height across it. Where no ground can be seen around the object (all of it lies outside
 * the field), darkness and edge contrast are 0 and the edge width is null. All flags are set but `touching`, which
 * needs the neighbours: `measureObjects`.
 */
export function measureObject(object: ObjectToMeasure, scene: Scene): MeasuredObject {
  const { outline, kind, hingeAxisRad } = object;
  const measured = measureOutline(outline);
  checkMeasurable(measured, scene);
  const local = scene.localScale?.(measured.x, measured.y) ?? 1;
  const umPerPx = scene.scale.umPerPx === null ? null : scene.scale.umPerPx * local;
  const inUm = (px: number): number | null => (umPerPx === null ? null : px * umPerPx);

  const axis = lengthAxis(outline, measured.feret, kind, hingeAxisRad);
  const lengthPx = extentAlong(outline, axis.axisRad);
  const heightPx = extentAlong(outline, axis.axisRad + Math.PI / 2);
  const bounds: Bounds = { width: scene.raster.width, height: scene.raster.height, field: scene.field };
  const rim = seeRim(outline, measured, scene, bounds);
  const { totalPx } = lengthUncertainty({
    ...rim,
    lengthPx,
    isGreatest: axis.axisRad === measured.feret.maxAxisRad,
    scaleRelative: scene.scale.relativeStandardUncertainty ?? 0,
  });
  return {
    x: measured.x,
    y: measured.y,
    lengthUm: inUm(lengthPx),
    lengthStandardUncertaintyUm: inUm(totalPx),
    heightUm: inUm(heightPx),
    axisDeg: toDegrees(axis.axisRad),
    areaUm2: umPerPx === null ? null : measured.areaPx2 * umPerPx * umPerPx,
    equivalentDiameterUm: inUm(measured.equivalentDiameterPx),
    equivalentDiameterPx: measured.equivalentDiameterPx,
    lengthStandardUncertaintyPx: totalPx,
    measures: {
      lengthPx,
      heightPx,
      ...outlineFields(measured, axis, inUm),
      darkness: rim.darkness,
      edgeContrast: rim.contrast / rim.noise,
      edgeWidthPx: rim.edgeWidthPx,
    },
    flags: objectFlags({
      outline,
      kind,
      measured,
      axis,
      lengthPx,
      hasGround: rim !== NO_GROUND,
      edgeWidthPx: rim.edgeWidthPx,
      bounds,
      distanceToLine: scene.distanceToLine,
    }),
  };
}

function checkMeasurable({ areaPx2 }: OutlineMeasures, { scale }: Scene): void {
  if (!(areaPx2 > 0 && areaPx2 < Infinity)) {
    throw badArgument('outline', 'three points or more that enclose an area', `one of area ${String(areaPx2)}`);
  }
  const { umPerPx } = scale;
  if (umPerPx !== null && !(umPerPx > 0 && umPerPx < Infinity)) {
    throw badArgument('scale.umPerPx', 'a number above 0 or null', umPerPx);
  }
}

/** What the picture shows of an object's rim and inside. */
interface SeenRim {
  /** Standard deviation of the ground in luma, above 0. */
  readonly noise: number;
  readonly contrast: number;
  readonly edgeWidthPx: number | null;
  readonly darkness: number;
}

/** Stands for a rim without ground to see it on. */
const NO_GROUND: SeenRim = { noise: 1, contrast: 0, edgeWidthPx: null, darkness: 0 };

function seeRim(
  outline: Outline,
  { equivalentDiameterPx, areaPx2 }: OutlineMeasures,
  { raster, field }: Scene,
  bounds: Bounds,
): SeenRim {
  const rim = rimPoints(outline, RIM_POINTS);
  const ground = localGround(raster, bounds, rim, equivalentDiameterPx);
  if (ground === null) return NO_GROUND;
  const polarity = field.ground === 'dark' ? 1 : -1;
  return {
    noise: ground.noise,
    ...rimProfile(raster, rim, ground, { diameterPx: equivalentDiameterPx, polarity }),
    darkness: darkness(raster, outline, ground.luma, areaPx2),
  };
}

/** Fields of the measures that come from the outline alone. */
function outlineFields(
  measured: OutlineMeasures,
  { edge }: LengthAxis,
  inUm: (px: number) => number | null,
): Omit<Measures, 'lengthPx' | 'heightPx' | 'darkness' | 'edgeContrast' | 'edgeWidthPx'> {
  const { maxPx, minPx } = measured.feret;
  return {
    areaPx2: measured.areaPx2,
    perimeterPx: measured.perimeterPx,
    maxFeretPx: maxPx,
    minFeretPx: minPx,
    maxFeretUm: inUm(maxPx),
    minFeretUm: inUm(minPx),
    perimeterUm: inUm(measured.perimeterPx),
    solidity: measured.solidity,
    circularity: measured.circularity,
    hinge: edge && {
      xPx: edge.x,
      yPx: edge.y,
      axisDeg: toDegrees(edge.axisRad),
      lengthPx: edge.lengthPx,
      lengthUm: inUm(edge.lengthPx),
    },
  };
}

const toDegrees = (axisRad: number): number => (axisRad * 180) / Math.PI;
