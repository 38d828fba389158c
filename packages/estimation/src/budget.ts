import { badArgument } from '@veligrid/model';

/** One source of uncertainty of a product or quotient. */
export interface Contribution {
  readonly name: string;
  /** Standard uncertainty over the value, 0 or more. */
  readonly relativeStandardUncertainty: number;
  /** Degrees of freedom behind it; null when they are as good as unlimited. */
  readonly degreesOfFreedom: number | null;
  /** Where the figure comes from: worked out from this sample, stated by the user, or a preset of ours. */
  readonly source: 'sample' | 'history' | 'starting' | 'stated' | 'preset';
}

/** All sources together. */
export interface Budget {
  readonly relativeStandardUncertainty: number;
  /** Effective degrees of freedom, whole unless a single source counts; Infinity when all are unlimited. */
  readonly degreesOfFreedom: number;
}

/** Half-width of what is known to be within +/- a, as a standard uncertainty (JCGM 100:2008 4.3.7, 4.3.9; arcsine shape: 4.3.5 to 4.3.9 and H-note from memory). */
export function fromHalfWidth(halfWidth: number, shape: 'rectangular' | 'triangular' | 'u-shaped'): number {
  const divisor = { rectangular: 3, triangular: 6, 'u-shaped': 2 }[shape];
  return halfWidth / Math.sqrt(divisor);
}

/**
 * Combines sources of a product: root sum of squares (JCGM 100:2008 5.1.6) with the degrees of freedom of Welch and
 * Satterthwaite (G.2b), cut down to a whole number when several sources count. Assumes they are independent.
 */
export function combine(contributions: readonly Contribution[]): Budget {
  const parts = contributions.filter(({ relativeStandardUncertainty }) => relativeStandardUncertainty > 0);
  const variances = parts.map(({ relativeStandardUncertainty }) => relativeStandardUncertainty ** 2);
  const u2 = variances.reduce((a, b) => a + b, 0);
  const degrees = parts.map(({ degreesOfFreedom }) => degreesOfFreedom ?? Infinity);
  const relativeStandardUncertainty = Math.sqrt(u2);
  if (parts.length <= 1) return { relativeStandardUncertainty, degreesOfFreedom: degrees[0] ?? Infinity };
  const denominator = variances.reduce((sum, v, i) => sum + (v / u2) ** 2 / (degrees[i] ?? Infinity), 0);
  return { relativeStandardUncertainty, degreesOfFreedom: wholeDegrees(1 / denominator, degrees) };
}

/** Cut to a whole number, but never below the least of the parts, which a rounding error could do. */
function wholeDegrees(effective: number, degrees: readonly number[]): number {
  if (effective === Infinity) return Infinity;
  return Math.max(Math.floor(effective), Math.min(...degrees));
}

/**
 * Relative standard uncertainty of a dilution factor made as 1 + added/taken (first form) or madeUpTo/taken.
 *
 * @param factor the factor, 1 or more
 * @param relative relative standard uncertainties of the two volumes
 */
export function dilutionUncertainty(
  factor: number,
  relative: { readonly taken: number; readonly other: number; readonly form: 'added' | 'made-up-to' },
): number {
  if (!(factor >= 1)) throw badArgument('the dilution factor', '1 or more', factor);
  const root = Math.hypot(relative.taken, relative.other);
  return relative.form === 'added' ? ((factor - 1) / factor) * root : root;
}

/** Volume of a round tank with its relative standard uncertainty (JCGM 100:2008 5.1.6). */
export function cylinderVolumeMl(
  radiusCm: { readonly value: number; readonly standardUncertainty: number },
  heightCm: { readonly value: number; readonly standardUncertainty: number },
): { readonly volumeMl: number; readonly relativeStandardUncertainty: number } {
  return {
    volumeMl: Math.PI * radiusCm.value ** 2 * heightCm.value,
    relativeStandardUncertainty: Math.hypot(
      (2 * radiusCm.standardUncertainty) / radiusCm.value,
      heightCm.standardUncertainty / heightCm.value,
    ),
  };
}
