import type { Warning } from './said.js';

/**
 * What was seen in one photo. This is the published form: `veligrid count` writes it as JSON, and every other room
 * reads it. Pixel coordinates have pixel centres at integers in the upright picture (x to the right, y down).
 */

/** Stages of a bivalve larva in order of development, then what is not alive, then what is not a larva. */
export const STAGES = [
  'egg',
  'fertilised-egg',
  'two-cell',
  'four-cell',
  'morula',
  'blastula',
  'gastrula',
  'trochophore',
  'd-larva',
  'umbo',
  'eyed',
  'pediveliger',
  'empty-shell',
  'dead',
  'debris',
  'bubble',
  'fibre',
  'ciliate',
  'alga',
  'unsure',
] as const;
export type Stage = (typeof STAGES)[number];

/** Kinds the finder tells apart. The first three are counted. */
export const KINDS = [
  'egg-or-embryo',
  'shelled-larva',
  'empty-or-dead',
  'bubble',
  'ciliate',
  'fibre',
  'debris',
  'alga',
] as const;
export type Kind = (typeof KINDS)[number];

/** Kinds that are eggs, embryos or larvae, alive or dead. */
export const COUNTED_KINDS: readonly Kind[] = ['egg-or-embryo', 'shelled-larva', 'empty-or-dead'];

export const FLAGS = ['cut', 'touching', 'on-line', 'out-of-focus', 'edge-on', 'gaping', 'not-rounded'] as const;
export type Flag = (typeof FLAGS)[number];

export type ScaleSource =
  'given' | 'calibration' | 'ruled-cell' | 'eyepiece-ruler' | 'stage-micrometer' | 'exif' | 'none';

/** Scale of the photo. */
export interface Scale {
  /** Micrometres per pixel, or null when no scale could be had. */
  readonly umPerPx: number | null;
  readonly source: ScaleSource;
  /** Standard uncertainty over the value, 0..1; null without a scale. */
  readonly relativeStandardUncertainty: number | null;
  /** Line pitch in micrometres that was assumed, when the scale came from lines. */
  readonly assumedPitchUm?: number;
}

/** Usable part of the picture. */
export type Field =
  | { readonly kind: 'frame'; readonly ground: 'light' | 'dark' }
  | {
      readonly kind: 'round';
      readonly ground: 'light' | 'dark';
      readonly centrePx: readonly [number, number];
      readonly radiusPx: number;
    };

/** One whole ruled square; corners clockwise from the top left of the grid's own frame, in pixels. */
export interface Square {
  /** Column letter and row number, for example `B3`. */
  readonly name: string;
  readonly cornersPx: readonly (readonly [number, number])[];
}

/** Ruled lines of the counting cell as seen in the photo. */
export interface Grid {
  /** Pitch of the lines in micrometres. */
  readonly pitchUm: number;
  /** Direction of the grid's first axis in degrees clockwise from the picture's x axis, -45..45. */
  readonly rotationDeg: number;
  readonly squares: readonly Square[];
}

/** Which objects at the edge of the counted area belong to it. */
export const COUNTING_RULES = ['centroid', 'two-sides'] as const;
export type CountingRule = (typeof COUNTING_RULES)[number];

/** What a photo's count is of: whole ruled squares, or the field shrunk so that every counted object is whole. */
export type CountedShape =
  | { readonly kind: 'squares'; readonly squares: readonly string[] }
  | {
      readonly kind: 'field';
      /** Left, top, right and bottom limit in pixels. */
      readonly boxPx: readonly [number, number, number, number];
      /** Circle within the box, in a round field. */
      readonly circle?: { readonly centrePx: readonly [number, number]; readonly radiusPx: number };
    };

/** How a count's part of the picture was chosen. */
export const COUNTING_FLAGS = ['fields-not-random'] as const;
export type CountingFlag = (typeof COUNTING_FLAGS)[number];

/** The area that objects are counted in, and by which rule. */
export interface Counting {
  /**
   * `centroid`: an object belongs where its centroid lies. `two-sides`: what touches the left or top side is out, what
   * touches the right or lower side is in.
   */
  readonly rule: CountingRule;
  readonly shape: CountedShape;
  /** Size of the area in square millimetres; null without a scale. */
  readonly areaMm2: number | null;
  /** Distance in pixels kept from the edge of what can be used, so that every counted object is whole. */
  readonly marginPx: number;
  /** Name of the field that was drawn at random before the photo was taken, or null. */
  readonly drawnField: string | null;
  readonly flags: readonly CountingFlag[];
}

/** Geometry of one object in pixels and micrometres; micrometre fields are null without a scale. */
export interface Measures {
  /** Length in pixels: parallel to the hinge for shelled larvae, greatest Feret diameter for all others. */
  readonly lengthPx: number;
  /** Extent across the length axis in pixels. */
  readonly heightPx: number;
  readonly areaPx2: number;
  readonly perimeterPx: number;
  readonly maxFeretPx: number;
  readonly minFeretPx: number;
  /** Greatest and least Feret diameter in micrometres. */
  readonly maxFeretUm: number | null;
  readonly minFeretUm: number | null;
  readonly perimeterUm: number | null;
  /** Area over area of the convex hull, 0..1. */
  readonly solidity: number;
  /** 4 pi area over perimeter squared, 0..1 (ISO 9276-6 writes its square root). */
  readonly circularity: number;
  /** Longest straight edge: middle, direction and length; null when there is none. */
  readonly hinge: {
    readonly xPx: number;
    readonly yPx: number;
    readonly axisDeg: number;
    readonly lengthPx: number;
    readonly lengthUm: number | null;
  } | null;
  /** Mean optical density inside against the ground around, natural units; below 0 for bright on dark. */
  readonly darkness: number;
  /** Contrast of the rim against the ground over the noise of the ground. */
  readonly edgeContrast: number;
  /** Sharpness of the rim: 10-90 % rise of the edge in pixels (large is blurred); null when there is no edge. */
  readonly edgeWidthPx: number | null;
}

/** Form of an embryo or straight-hinge larva. */
export const FORMS = ['normal', 'abnormal', 'not-judged'] as const;
export type Form = (typeof FORMS)[number];

/** What is known of a sample before it is looked at. */
export interface SampleNotes {
  readonly kind: 'live' | 'chilled' | 'fixed';
  /** What a fixed sample was fixed with. */
  readonly fixative?: string;
  /** Whether the fixative was buffered. */
  readonly buffered?: boolean;
  /** Hours after fertilisation. */
  readonly ageHours?: number;
}

/** One object found. Immutable: staff decisions are kept apart from it. */
export interface Detection {
  readonly id: string;
  /** Centroid in pixels. */
  readonly x: number;
  readonly y: number;
  /** Closed outline without a repeated end point, in pixels. */
  readonly outline: readonly (readonly [number, number])[];
  readonly lengthUm: number | null;
  readonly lengthStandardUncertaintyUm: number | null;
  readonly heightUm: number | null;
  /** Direction of the length in degrees clockwise from the picture's x axis, 0..180. */
  readonly axisDeg: number;
  readonly areaUm2: number | null;
  readonly equivalentDiameterUm: number | null;
  readonly kind: Kind;
  readonly stage: Stage;
  /** Form of an embryo or straight-hinge larva; staff judge it. Left out for all others. */
  readonly form?: Form;
  /** Probability of each stage, 0..1; those near 0 are left out. */
  readonly stageProbabilities: Readonly<Partial<Record<Stage, number>>>;
  /** Calibrated probability that the likeliest stage is right, and that it is a larva at all, 0..1. */
  readonly confidence: number;
  /** Name of the ruled square that holds the centroid, or null. */
  readonly square: string | null;
  readonly flags: readonly Flag[];
  readonly measures: Measures;
  /** Plain numbers that learning needs, by name. */
  readonly features: Readonly<Record<string, number>>;
  /** Taken for an egg, embryo or larva, alive or dead, and not cut. Says nothing of squares or volumes. */
  readonly counted: boolean;
  /** Belongs to the counted area by the rule of the count, whatever it is. */
  readonly inArea: boolean;
  /**
   * Weight in figures of lengths taken from all whole objects of the photo: one over the chance that an object of this
   * size is whole in it (Miles-Lantuejoul), 1 or more; null when it is cut, or too large for the photo to say.
   */
  readonly inclusionWeight: number | null;
  /** The copy that is counted instead, when the same object was seen in another photo of one filling. */
  readonly sameAs?: { readonly photo: string; readonly id: string };
}

/** Result of one photo. */
export interface PhotoCount {
  readonly photo: string;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly method: {
    readonly name: string;
    readonly version: string;
    readonly finderVersion: string;
    readonly rulesVersion: string;
  };
  /** What stages were judged for: the species preset, and what was said of the sample. */
  readonly sample: SampleNotes & { readonly species: string; readonly speciesVersion: string };
  readonly scale: Scale;
  readonly field: Field;
  readonly grid: Grid | null;
  readonly counting: Counting;
  readonly detections: readonly Detection[];
  readonly warnings: readonly Warning[];
  /** Milliseconds by step; only when asked for, as it differs from run to run. */
  readonly timingMs?: Readonly<Record<string, number>>;
}
