import type { MeasuredObject } from '../../measure/measure-object.js';

/** Floor under differences to a perfect shape before their logarithm is taken. */
const PERFECT = 0.001;

/**
 * Shape of the outline, all without unit:
 * `aspect` height over length, 0.2..2; `feret_ratio` least over greatest Feret diameter, 0..1;
 * `unsolid` ln(1 - solidity + 0.001), -7..0 (notches, lobes);
 * `uncircular` ln(1 - circularity + 0.001), -7..0;
 * `fullness` area over length times height, 0.4..1 (ellipse 0.785);
 * `hinge_share` longest straight edge over the greatest Feret diameter, 0..1 (0: none).
 */
export function outlineShape({ measures }: Pick<MeasuredObject, 'measures'>): Record<string, number> {
  const { lengthPx, heightPx, maxFeretPx, minFeretPx, areaPx2, solidity, circularity, hinge } = measures;
  return {
    aspect: heightPx / lengthPx,
    feret_ratio: minFeretPx / maxFeretPx,
    unsolid: Math.log(Math.max(0, 1 - solidity) + PERFECT),
    uncircular: Math.log(Math.max(0, 1 - circularity) + PERFECT),
    fullness: areaPx2 / (lengthPx * heightPx),
    hinge_share: hinge === null ? 0 : hinge.lengthPx / maxFeretPx,
  };
}

/**
 * Size, only with a scale: `ln_length` ln of the length in micrometres, 2..7; `ln_diameter` ln of the equivalent
 * diameter in micrometres, 2..7.
 */
export function size({
  lengthUm,
  equivalentDiameterUm,
}: Pick<MeasuredObject, 'lengthUm' | 'equivalentDiameterUm'>): Record<string, number> {
  if (lengthUm === null || equivalentDiameterUm === null) return {};
  return { ln_length: Math.log(lengthUm), ln_diameter: Math.log(equivalentDiameterUm) };
}

/**
 * Sharpness: `blur` ln of the rim's 10-90 % rise over the length, -6..0 (left out when no edge is seen); `rim_contrast`
 * ln(1 + contrast of the rim over the noise of the ground), 0..7.
 */
export function focus({ measures }: Pick<MeasuredObject, 'measures'>): Record<string, number> {
  const { edgeWidthPx, edgeContrast, lengthPx } = measures;
  const rim_contrast = Math.log1p(Math.max(0, edgeContrast));
  return edgeWidthPx === null
    ? { rim_contrast }
    : { blur: Math.log(Math.max(0.1, edgeWidthPx) / lengthPx), rim_contrast };
}
