import { badArgument, type PhotoCount, type Stage, type Warning } from '@veligrid/model';
import { shareLimits, type ShareLimits } from './share-limits.js';

/** What is asked of a fertilisation check. */
export interface FertilisationOptions {
  /** Minutes since sperm and eggs were mixed, 0 to 1440. */
  readonly minutes: number;
  /** Attached sperm per egg, counted under the microscope; judged by the published bands. */
  readonly attachedSpermPerEgg?: number;
  /** Sperm added per egg; no published band, so it is only repeated. */
  readonly addedSpermPerEgg?: number;
  /** Share below which there is a warning, 0..1. Default 0.9 (hatchery practice, from memory). */
  readonly target?: number;
}

/** Eggs of one slide by what they are taken for. */
export interface SlideEggs {
  readonly photo: string;
  readonly fertilised: number;
  readonly unfertilised: number;
  /** Out of focus, cut, or too unsure to say. */
  readonly unscorable: number;
  readonly notRounded: number;
}

/** Answer of a fertilisation check. Not signed off: it rests on stages that the program found. */
export interface FertilisationCheck {
  readonly slides: readonly SlideEggs[];
  /** Null when no egg can be scored. */
  readonly fertilised: ShareLimits | null;
  /** Stages taken as fertilised. */
  readonly takenAsFertilised: readonly Stage[];
  /** The share is a lower bound: not all eggs show it yet, or polar bodies can't be seen at this scale. */
  readonly atLeast: boolean;
  /** Whether the photos are fine enough for polar bodies. */
  readonly polarBodiesJudged: boolean;
  readonly minutes: number;
  readonly attachedSperm: { readonly perEgg: number; readonly band: string } | null;
  readonly addedSpermPerEgg: number | null;
  readonly warnings: readonly Warning[];
}

/** Coarser photos can't show polar bodies, micrometres per pixel. */
const POLAR_BODY_UM_PER_PX = 1.5;
/** First polar bodies show from 20 to 60 minutes on at 24-28 C (common practice, from memory): earlier counts are "at least". */
export const POLAR_BODY_MINUTES = 60;
/** Eggs cleave from 45 to 90 minutes on (common practice, from memory). */
const CLEAVED_MINUTES = 120;

export const CLEAVED: readonly Stage[] = ['two-cell', 'four-cell', 'morula', 'blastula', 'gastrula'];

const BAND_WORDS = {
  below: 'below the advised range',
  advised: 'in the advised range',
  above: 'above the advised range, no harm measured up to 10',
  polyspermy: 'risk of polyspermy: more than 10 % deformed embryos',
} as const;
export type SpermBand = keyof typeof BAND_WORDS;

/**
 * Bands of attached sperm per egg: 2 to 5 advised as safe and effective, no harm up to 10, above it more than 10 % deformed
 * (Lyu and Allen 1999, J. Shellfish Research 18:459-464, abstract; the names of the bands are ours).
 */
export const attachedSpermBand = (perEgg: number): string => BAND_WORDS[spermBand(perEgg)];

/** The band by a name that programs can go by. */
export function spermBand(perEgg: number): SpermBand {
  if (!(perEgg >= 0 && perEgg < Infinity)) throw badArgument('attachedSpermPerEgg', 'a number of 0 or more', perEgg);
  if (perEgg < 2) return 'below';
  if (perEgg <= 5) return 'advised';
  return perEgg <= 10 ? 'above' : 'polyspermy';
}

function eggsOf({ photo, detections }: PhotoCount, fertilisedStages: readonly Stage[], merge: boolean): SlideEggs {
  const eggs = detections.filter((one) => one.kind === 'egg-or-embryo' && (one.counted || one.flags.includes('cut')));
  const scorable = (one: (typeof eggs)[number]): boolean =>
    one.counted &&
    !one.flags.includes('out-of-focus') &&
    (one.stage === 'egg' || one.stage === 'fertilised-egg' || CLEAVED.includes(one.stage));
  const scored = eggs.filter(scorable);
  const fertilised = scored.filter(({ stage }) => fertilisedStages.includes(stage)).length;
  const unfertilised = scored.filter(({ stage }) => stage === 'egg' || (merge && stage === 'fertilised-egg')).length;
  return {
    photo,
    fertilised,
    unfertilised,
    unscorable: eggs.length - scored.length,
    notRounded: scored.filter(({ flags }) => flags.includes('not-rounded')).length,
  };
}

function warningsOf(check: Omit<FertilisationCheck, 'warnings'>, target: number): Warning[] {
  const warnings: Warning[] = [];
  const { fertilised, slides } = check;
  const scored = slides.reduce((sum, one) => sum + one.fertilised + one.unfertilised, 0);
  const unscorable = slides.reduce((sum, one) => sum + one.unscorable, 0);
  if (!check.polarBodiesJudged) {
    const message = `The photos are coarser than ${String(POLAR_BODY_UM_PER_PX)} um per pixel, or have no scale: polar bodies can't be judged, so the share is that of cleaved eggs. Photograph with a stronger objective.`;
    warnings.push({ code: 'polar-bodies-not-judged', message });
  }
  if (scored < 100) {
    const message = `Only ${String(scored)} eggs could be scored. Count 100 or more, better 300.`;
    warnings.push({ code: 'few-eggs', message });
  }
  if (unscorable > scored / 10) {
    const message = `${String(unscorable)} eggs could not be scored and are in neither number. Focus on them and count again.`;
    warnings.push({ code: 'many-unscorable', message });
  }
  if (fertilised !== null && !check.atLeast && fertilised.share < target) {
    const message = `Fertilised share ${(100 * fertilised.share).toFixed(1)} % is below the target of ${(100 * target).toFixed(0)} %. Check sperm, eggs and water before stocking.`;
    warnings.push({ code: 'below-target', message });
  }
  return warnings;
}

/**
 * Share of fertilised eggs over the slides of one spawn, with limits that allow for larvae of a slide being alike.
 *
 * @param counts of photos that show eggs of the same spawn, one or more
 * @throws VeligridError `bad-argument`
 */
export function fertilisationCheck(counts: readonly PhotoCount[], options: FertilisationOptions): FertilisationCheck {
  const { minutes, attachedSpermPerEgg, addedSpermPerEgg, target = 0.9 } = options;
  if (counts.length === 0) throw badArgument('counts', 'one count or more', 'none');
  if (!(minutes >= 0 && minutes <= 1440)) throw badArgument('minutes', 'minutes from 0 to 1440', minutes);
  if (!(target > 0 && target <= 1)) throw badArgument('target', 'a share above 0, at most 1', target);
  if (addedSpermPerEgg !== undefined && !(addedSpermPerEgg >= 0)) {
    throw badArgument('addedSpermPerEgg', 'a number of 0 or more', addedSpermPerEgg);
  }
  const polarBodiesJudged = counts.every(
    ({ scale }) => scale.umPerPx !== null && scale.umPerPx <= POLAR_BODY_UM_PER_PX,
  );
  const takenAsFertilised: readonly Stage[] = polarBodiesJudged ? ['fertilised-egg', ...CLEAVED] : CLEAVED;
  const slides = counts.map((count) => eggsOf(count, takenAsFertilised, !polarBodiesJudged));
  const check = {
    slides,
    fertilised: shareLimits(
      slides.map(({ fertilised, unfertilised }) => ({ whole: fertilised + unfertilised, part: fertilised })),
    ),
    takenAsFertilised,
    atLeast: minutes < (polarBodiesJudged ? POLAR_BODY_MINUTES : CLEAVED_MINUTES),
    polarBodiesJudged,
    minutes,
    attachedSperm:
      attachedSpermPerEgg === undefined
        ? null
        : { perEgg: attachedSpermPerEgg, band: attachedSpermBand(attachedSpermPerEgg) },
    addedSpermPerEgg: addedSpermPerEgg ?? null,
  };
  return { ...check, warnings: warningsOf(check, target) };
}
