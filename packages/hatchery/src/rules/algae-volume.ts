import { VeligridError } from '@veligrid/model';
import { checkAbove0, checkFrom0 } from './checks.js';

/** What is wanted in the tank and what there is. */
export interface AlgaeVolumeInput {
  /** Cells per mL wanted in the tank. */
  readonly targetPerMl: number;
  /** Cells per mL left in the tank; over its final volume when topped up. 0 by default. */
  readonly leftPerMl?: number;
  /** Cells per mL of the culture. */
  readonly culturePerMl: number;
  /** Water in the tank before adding, or the final volume when topped up to it, mL. */
  readonly volumeMl: number;
  /** `added`: algae come on top of the water. `topped-up`: water is filled up to a fixed volume afterwards. */
  readonly how: 'added' | 'topped-up';
}

/**
 * mL of culture: V_water (target - left)/(culture - target) with V_water before adding, which counts the water that the
 * algae bring along (exact); V_final (target - left)/culture when topped up to a fixed volume. 0 when enough is left.
 * Sources: public notebook of an oyster larval trial 2018 (first form, with left = 0); FAO 471, 5.2.3 (second, from
 * memory); what is left is subtracted as in the feeding sheets of a public trial of 2017.
 *
 * @throws VeligridError `bad-argument` when the culture is not above the target: no volume reaches it
 */
export function algaeVolumeMl({ targetPerMl, leftPerMl = 0, culturePerMl, volumeMl, how }: AlgaeVolumeInput): number {
  checkAbove0('the target', targetPerMl);
  checkFrom0('what is left', leftPerMl);
  checkAbove0('the culture', culturePerMl);
  checkAbove0('the volume', volumeMl);
  if (culturePerMl <= targetPerMl) {
    throw new VeligridError(
      'bad-argument',
      `The culture has ${culturePerMl} cells per mL, not more than the ${targetPerMl} wanted in the tank, so no volume reaches it. Concentrate the culture, or take a denser one.`,
    );
  }
  if (leftPerMl >= targetPerMl) return 0;
  return how === 'added'
    ? (volumeMl * (targetPerMl - leftPerMl)) / (culturePerMl - targetPerMl)
    : (volumeMl * (targetPerMl - leftPerMl)) / culturePerMl;
}
