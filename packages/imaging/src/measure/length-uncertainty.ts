/** What the uncertainty of a length comes from. */
export interface LengthEvidence {
  readonly lengthPx: number;
  /** Whether the length is the greatest of all directions rather than that along a given one. */
  readonly isGreatest: boolean;
  /** Difference of the rim to the ground, and noise of the ground from pixel to pixel, in luma. */
  readonly contrast: number;
  readonly noise: number;
  /** 10-90 % rise of the edge in pixels, or null when no edge was seen. */
  readonly edgeWidthPx: number | null;
  /** Standard uncertainty of the scale over the scale, 0 or more. */
  readonly scaleRelative: number;
}

/** Standard uncertainty of a length in pixels and its parts. */
export interface LengthUncertainty {
  /** From the noise of the picture. */
  readonly noisePx: number;
  /** From not knowing where in a wide edge the rim is. */
  readonly edgePx: number;
  /** From the scale. */
  readonly scalePx: number;
  /** Root of the sum of the squares. */
  readonly totalPx: number;
}

/** Between its 10 and 90 % points an edge rises by this share of its contrast. */
const RISE = 0.8;
/** Scatter of a length over that of one outline point: along a given direction, and greatest of all directions. */
const POINT_TO_EXTENT = 0.65;
const POINT_TO_GREATEST = 0.42;
/** The rim is taken to lie within this share of the edge's width of the outline, to either side. */
const RIM_WITHIN = 0.125;
/** Where no edge was seen, one this wide (as a share of the length) with this contrast over the noise is assumed. */
const UNSEEN_WIDTH = 0.25;
const UNSEEN_CONTRAST = 3;

/**
 * Standard uncertainty of a length after the rules of the GUM (JCGM 100:2008, 5.1): three independent parts, added as
 * squares.
 *
 * Noise: on an edge that rises by 0.8 of the contrast C over its width w, noise n moves a point of the outline by
 * s = n w / (0.8 C). A length hangs on the outermost points of both ends, of which several compete at each end: that
 * makes them scatter less than single ones. Drawn discs (24 to 120 px across, w from 2 to 8 px, C/n from 13 to 40) gave
 * 0.50 to 0.78 s along a given direction and 0.36 to 0.47 s for the greatest Feret diameter; 0.65 and 0.42 are used.
 * That holds for an outline whose points are found one by one; a smoothed outline scatters less.
 *
 * Edge: the outline is drawn half way up the edge, the rim may be anywhere between 40 and 60 % of the way, all round
 * alike. Each end then has a rectangular distribution of half-width 0.125 w, and both ends move together:
 * 2 * 0.125 w / sqrt(3).
 *
 * Scale: its relative standard uncertainty times the length.
 */
export function lengthUncertainty(evidence: LengthEvidence): LengthUncertainty {
  const { lengthPx, isGreatest, scaleRelative } = evidence;
  const width = evidence.edgeWidthPx ?? UNSEEN_WIDTH * lengthPx;
  const contrastToNoise =
    evidence.edgeWidthPx === null ? UNSEEN_CONTRAST : Math.max(UNSEEN_CONTRAST, evidence.contrast / evidence.noise);
  const pointPx = width / (RISE * contrastToNoise);
  const noisePx = (isGreatest ? POINT_TO_GREATEST : POINT_TO_EXTENT) * pointPx;
  const edgePx = (2 * RIM_WITHIN * width) / Math.sqrt(3);
  const scalePx = scaleRelative * lengthPx;
  return { noisePx, edgePx, scalePx, totalPx: Math.hypot(noisePx, edgePx, scalePx) };
}
