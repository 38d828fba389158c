import { badArgument } from '@veligrid/model';

/** One culture of a mix. */
export interface MixPart {
  readonly name: string;
  /** T-Iso cells per mL that the culture stands for. */
  readonly equivalentsPerMl: number;
  /** Part of the equivalents that it gives, all parts together 1. */
  readonly share: number;
}

/** Water and food, in T-Iso cells per mL. */
export interface MixQuestion {
  readonly targetPerMl: number;
  readonly leftPerMl: number;
  readonly volumeMl: number;
  readonly how: 'added' | 'topped-up';
}

/**
 * mL of each culture of a mix: with E_i equivalents per mL and shares s_i, k = sum s_i/E_i mL carry one equivalent.
 * Added on top: A = V (target - left)/(1 - target k) equivalents are needed, topped up: A = V (target - left); culture i
 * gives A s_i/E_i mL. For one culture this is `algaeVolumeMl`. 0 for all when enough is left.
 *
 * @returns null when the mix is not above the target, so that no volume reaches it
 */
export function mixVolumesMl(
  parts: readonly MixPart[],
  { targetPerMl, leftPerMl, volumeMl, how }: MixQuestion,
): number[] | null {
  const all = parts.reduce((sum, { share }) => sum + share, 0);
  if (parts.length === 0 || Math.abs(all - 1) > 1e-9)
    throw badArgument('the shares of the mix', 'parts that add up to 1', all);
  const k = parts.reduce((sum, { share, equivalentsPerMl }) => sum + share / equivalentsPerMl, 0);
  if (targetPerMl * k >= 1) return null;
  const lacking = Math.max(0, targetPerMl - leftPerMl) * volumeMl;
  const equivalents = how === 'added' ? lacking / (1 - targetPerMl * k) : lacking;
  return parts.map(({ share, equivalentsPerMl }) => (equivalents * share) / equivalentsPerMl);
}
