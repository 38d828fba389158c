import { badArgument, type Warning } from '@veligrid/model';
import {
  estimateGrowth,
  productLimits,
  sdLimits,
  targetForShare,
  twoSided,
  wilson,
  type GrowthModel,
  type Level,
  type Limits,
} from '@veligrid/estimation';
import type { FigureBook } from '../presets/figure-book.js';
import { checkAmount } from './amount.js';
import { raised, usedFigures, type Plan } from './answer.js';
import { speciesBand } from './growth-band.js';
import { orPreset } from './or-preset.js';
import { ruleWarning } from './sentences.js';

/** Growth so far and what is seen today. */
export interface ReadinessQuestion {
  /** Days after fertilisation, with the mean length of each. */
  readonly days: readonly number[];
  readonly lengthsUm: readonly number[];
  /** SD of lengths today; from `lengthsTodayUm` by default. */
  readonly sdUm?: number;
  readonly lengthsTodayUm?: readonly number[];
  /** Part that has to be above the setting length; the preset by default. */
  readonly shareAbove?: number;
  /** The preset by default. */
  readonly settingLengthUm?: number;
  /** Part with an eye spot (or foot) today. */
  readonly eyedShare?: Limits;
  readonly larvae?: Limits;
  readonly temperatureC?: number;
  readonly level?: Level;
}

/** When larvae will be ready, said with what is not known. */
export interface ReadinessPlan extends Plan {
  readonly settingLengthUm: number;
  readonly shareAbove: number;
  /** Mean length at which that part is above the setting length. */
  readonly targetMeanUm: number;
  /** Each way of growing with its day. */
  readonly models: readonly Pick<GrowthModel, 'model' | 'dayToTarget' | 'dayToTargetNewSample'>[];
  /** From the earliest lower limit to the latest upper limit of all models: plan for the whole of it. Null when none gives a day. */
  readonly window: { readonly earliestDay: number; readonly latestDay: number } | null;
  /** Days at which the species band reaches the setting length, whatever this batch has done. */
  readonly band: { readonly fastDay: number | null; readonly slowDay: number | null; readonly temperatureC: number };
  readonly eyed: { readonly share: Limits; readonly number: Limits | null } | null;
  /** Part above the setting length today, where lengths were given. */
  readonly aboveNow: Limits | null;
}

function scatterOf({ sdUm, lengthsTodayUm = [] }: ReadinessQuestion): number | null {
  if (sdUm !== undefined) return sdUm;
  return sdLimits(lengthsTodayUm)?.estimate ?? null;
}

function windowOf(models: readonly GrowthModel[], today: number): ReadinessPlan['window'] {
  const limits = models.flatMap(({ dayToTarget, dayToTargetNewSample }) => [dayToTarget, dayToTargetNewSample]);
  const known = limits.filter((one) => one !== null);
  if (known.length === 0) return null;
  return {
    earliestDay: Math.max(today, Math.min(...known.map(({ low }) => low))),
    latestDay: Math.max(today, ...known.map(({ high }) => high)),
  };
}

function check({
  days,
  shareAbove = 0.5,
  settingLengthUm = 1,
  lengthsTodayUm = [],
  eyedShare,
  larvae,
}: ReadinessQuestion): void {
  if (!(shareAbove > 0 && shareAbove < 1)) throw badArgument('shareAbove', 'a part between 0 and 1', shareAbove);
  if (!(settingLengthUm > 0)) throw badArgument('settingLengthUm', 'a number of micrometres above 0', settingLengthUm);
  const bad = lengthsTodayUm.find((length) => !(length > 0 && length < 1e6));
  if (bad !== undefined) throw badArgument('a length', 'a number of micrometres above 0 and below 1e6', bad);
  const falling = days.find((day, i) => i > 0 && day <= (days[i - 1] ?? 0));
  if (falling !== undefined) throw badArgument('days', 'days that rise', falling);
  if (eyedShare) checkAmount('eyedShare', eyedShare);
  if (larvae) checkAmount('larvae', larvae);
}

function aboveShare(lengths: readonly number[] | undefined, settingUm: number, level: Level): Limits | null {
  if (lengths === undefined || lengths.length === 0) return null;
  return wilson(lengths.filter((length) => length >= settingUm).length, lengths.length, twoSided(level));
}

function readinessWarnings(
  plan: Pick<ReadinessPlan, 'window' | 'aboveNow' | 'shareAbove'>,
  sd: number | null,
  growing: readonly Warning[],
): Warning[] {
  const { window, aboveNow, shareAbove } = plan;
  return raised([
    aboveNow !== null &&
      aboveNow.low >= shareAbove &&
      ruleWarning('ready-now', {
        share: { estimate: 100 * aboveNow.estimate, low: 100 * aboveNow.low, high: 100 * aboveNow.high },
      }),
    window === null && ruleWarning('no-forecast', {}),
    sd === null && ruleWarning('scatter-not-given', {}),
    ...growing.filter(({ code }) => code !== 'few-for-models' || window !== null),
  ]);
}

/**
 * Day of readiness: when the mean length is so high that the wanted part is above the setting length (setting length +
 * z SD), by every growth model of `estimateGrowth`; the window spans the limits of all of them. No day further ahead than a
 * third of the days seen is given. Beside it the days of the species band, and eyed larvae today with limits.
 *
 * @param book for `setting.length-um`, `readiness.share-above` and as `speciesBand`
 * @throws VeligridError `bad-argument` for lists or parts out of range
 */
export function readiness(question: ReadinessQuestion, book: FigureBook): ReadinessPlan {
  check(question);
  const { days, lengthsUm, temperatureC, larvae, eyedShare, level = 0.95 } = question;
  const setting = orPreset(question.settingLengthUm, 'setting.length-um', book);
  const wanted = orPreset(question.shareAbove, 'readiness.share-above', book);
  const [settingLengthUm, shareAbove] = [setting.value, wanted.value];
  const sd = scatterOf(question);
  const targetMeanUm = sd === null ? settingLengthUm : targetForShare(settingLengthUm, shareAbove, sd);
  const growing = estimateGrowth({ days, lengthsUm, targetUm: targetMeanUm, level });
  const band = speciesBand(temperatureC ?? null, book);
  const reached = band.daysTo(settingLengthUm);
  const window = windowOf(growing.models, days.at(-1) ?? 0);
  const aboveNow = aboveShare(question.lengthsTodayUm, settingLengthUm, level);
  return {
    settingLengthUm,
    shareAbove,
    targetMeanUm,
    models: growing.models.map(({ model, dayToTarget, dayToTargetNewSample }) => ({
      model,
      dayToTarget,
      dayToTargetNewSample,
    })),
    window,
    band: { fastDay: reached.fast, slowDay: reached.slow, temperatureC: band.temperatureC },
    eyed: eyedShare ? { share: eyedShare, number: larvae ? productLimits(larvae, eyedShare) : null } : null,
    aboveNow,
    figures: usedFigures([setting.preset, wanted.preset, ...band.figures]),
    warnings: readinessWarnings({ window, aboveNow, shareAbove }, sd, growing.warnings),
    cautions: [],
  };
}
