import type { ScaleHint } from '../photo/scale-hint.js';
import type { Warning } from '@veligrid/model';
import type { PointPx } from './point-distance.js';

/** What a picture shows whose size is known. */
export type CalibrationTarget =
  /** A ruler, such as a stage micrometer: its smallest division in micrometres. */
  | { readonly kind: 'ruler'; readonly divisionUm: number }
  /** Ruled squares: the distance of neighbouring lines in micrometres. */
  | { readonly kind: 'grid'; readonly pitchUm: number }
  /** Two points: their distance in micrometres. */
  | { readonly kind: 'points'; readonly points: readonly [PointPx, PointPx]; readonly distanceUm: number };

/** A line to be drawn on the picture, pixels. */
export type LinePx = readonly [PointPx, PointPx];

/** The ruler of an eyepiece, which lies in every picture taken through it. */
export interface EyepieceRuler {
  /** Smallest division in the picture, pixels. */
  readonly divisionPx: number;
  /** The same on the slide, micrometres. */
  readonly divisionUm: number;
  readonly relativeStandardUncertainty: number;
}

/** How well lines or points support a scale. */
export interface CalibrationQuality {
  /** Lines the fit rests on; 2 for two points. */
  readonly lines: number;
  /** Lines hidden or left out between the first and the last; 0 for points and squares. */
  readonly hiddenLines: number;
  /** How far lines stray from where the fit puts them (standard deviation), pixels; null for points. */
  readonly residualPx: number | null;
  /** Relative change of the scale along the ruler (tilt); null but for rulers. */
  readonly drift: number | null;
  /** Relative difference of the scale at both ends of the ruler from that in its middle (lens); null but for rulers. */
  readonly bulge: number | null;
  /** Scale across over scale along the first axis of squares; null where only one direction was measured. */
  readonly axisRatio: number | null;
}

/** A scale taken from a picture of something of known size. */
export interface PhotoCalibration {
  readonly found: true;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly umPerPx: number;
  /** Standard uncertainty of `umPerPx` over it, 0..1; that of the ruling itself is not in it. */
  readonly relativeStandardUncertainty: number;
  readonly target: CalibrationTarget;
  readonly quality: CalibrationQuality;
  /** The eyepiece's ruler when one is in sight, or null. */
  readonly eyepieceRuler: EyepieceRuler | null;
  /** What the scale rests on, to be drawn. */
  readonly linesPx: readonly LinePx[];
  /** What the file itself states, to be compared; or null. */
  readonly hint: ScaleHint | null;
  readonly warnings: readonly Warning[];
}

/** No scale, and why. */
export interface NoCalibration {
  readonly found: false;
  /** One or two sentences for people, with what to do. */
  readonly reason: string;
}
