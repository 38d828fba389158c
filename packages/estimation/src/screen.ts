import { badArgument } from '@veligrid/model';
import { twoSided, type Level, type Limits } from './limits.js';
import { mean } from './moments.js';
import { wilson } from './proportions.js';

/**
 * Thickness of a closed shell over its height: from memory, no source; fit your own from what your screens keep. The
 * opening that a shell passes is 0.825 of its height with it; 0.762 with 0.4 and 0.906 with 0.8.
 */
const PRESET_THICKNESS = 0.6;

/** Length and height of one shell in micrometres. */
export interface Shell {
  readonly lengthUm: number;
  readonly heightUm: number;
}

/**
 * Square opening that a stiff shell just passes lengthwise, turned by 45 degrees: sqrt((h^2 + t^2)/2) for an elliptic
 * section of height h and thickness t (derived: half the width of a turned ellipse across both sides of the square).
 */
export const passingOpening = (heightUm: number, thicknessUm: number): number =>
  Math.sqrt((heightUm ** 2 + thicknessUm ** 2) / 2);

/** Share of larvae that a screen keeps. */
export interface ScreenShare {
  readonly apertureUm: number;
  /** Thickness over the smaller of length and height, as used. */
  readonly thickness: number;
  readonly kept: Limits;
  /**
   * `fitted` from this hatchery's own screens; `upper bound` from geometry alone: larvae that lie across the opening
   * are kept although they would pass, and soft ones pass although they would be kept, so the size that passes is at
   * most this.
   */
  readonly basis: 'fitted' | 'upper bound';
}

/** How thickness is known. */
export interface ScreenOptions {
  /** Thickness over the smaller of length and height; the preset by default. */
  readonly thickness?: number;
  /** Whether the thickness was fitted to what this hatchery's screens kept. */
  readonly fitted?: boolean;
  readonly level?: Level;
}

/**
 * Share kept by a screen, by the section each shell turns to it: h is the smaller of length and height, t a part of h.
 *
 * @param shells one or more
 */
export function screenShare(shells: readonly Shell[], apertureUm: number, options: ScreenOptions = {}): ScreenShare {
  const { thickness = PRESET_THICKNESS, fitted = false, level = 0.95 } = options;
  if (!(apertureUm > 0)) throw badArgument('the screen', 'an aperture above 0 um', apertureUm);
  if (!(thickness > 0 && thickness <= 2))
    throw badArgument('the thickness', 'a part of the height from 0 to 2', thickness);
  const kept = shells.filter(({ lengthUm, heightUm }) => {
    const h = Math.min(lengthUm, heightUm);
    return passingOpening(h, thickness * h) > apertureUm;
  }).length;
  return {
    apertureUm,
    thickness,
    kept: wilson(kept, shells.length, twoSided(level)),
    basis: fitted ? 'fitted' : 'upper bound',
  };
}

/** Mean of a logistic retention curve 1/(1 + exp(-2 ln3 (L - L50)/SR)) over lengths: share kept by a measured screen. */
export const logisticKept = (
  lengthsUm: readonly number[],
  { l50Um, selectionRangeUm }: { readonly l50Um: number; readonly selectionRangeUm: number },
): number => mean(lengthsUm.map((l) => 1 / (1 + Math.exp((-2 * Math.log(3) * (l - l50Um)) / selectionRangeUm))));
