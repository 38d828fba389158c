import type { Scale, Warning } from '@veligrid/model';

/**
 * Sizes that bivalve eggs, embryos and larvae have, micrometres: eggs of 45 um and more, larvae ready to set of 350 um and
 * less (FAO Fisheries Technical Paper 471, chapters 4 and 5; rounded outwards, from memory).
 */
const SIZES_UM: readonly [number, number] = [38, 380];
/** Pitches that chambers and rulers are ruled with, micrometres. */
const PITCHES_UM = [10, 50, 100, 200, 250, 1000] as const;
/** Fewer objects say nothing. */
const LEAST_OBJECTS = 5;

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[sorted.length >> 1];
}

/** How far a size lies outside what is possible, as a logarithm; 0 inside. */
function strangeness(sizeUm: number): number {
  return Math.max(0, Math.log(SIZES_UM[0] / sizeUm), Math.log(sizeUm / SIZES_UM[1]));
}

function otherPitch(scale: Scale, sizeUm: number): number | null {
  const assumed = scale.assumedPitchUm;
  if (assumed === undefined) return null;
  const fits = PITCHES_UM.filter((pitch) => strangeness((sizeUm * pitch) / assumed) === 0);
  // nearest on a scale of ratios
  return fits.sort((a, b) => Math.abs(Math.log(a / assumed)) - Math.abs(Math.log(b / assumed)))[0] ?? null;
}

/**
 * Warns when the objects would be of a size no egg or larva has, so that another scale, often by a power of ten, is
 * likelier.
 *
 * @param scale scale in use
 * @param diametersPx equivalent diameters of the counted objects, pixels
 * @returns the warning, or null when sizes are possible or too few
 */
export function checkScaleBySizes(scale: Scale, diametersPx: readonly number[]): Warning | null {
  if (scale.umPerPx === null || diametersPx.length < LEAST_OBJECTS) return null;
  const sizeUm = median(diametersPx) * scale.umPerPx;
  if (strangeness(sizeUm) < Math.log(1.15)) return null;
  const pitch = otherPitch(scale, sizeUm);
  const remedy =
    pitch === null
      ? 'Check the scale: it may be off by a power of ten.'
      : `Lines ${String(pitch)} um apart would fit better: check the kind of cell.`;
  const message = `The objects would be ${sizeUm.toPrecision(3)} um across (median), which no egg or larva of a bivalve is. ${remedy}`;
  return { code: 'scale-power-of-ten', message };
}
