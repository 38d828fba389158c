import { badArgument, type Warning } from '@veligrid/model';
import { fitCurve, type Curve } from './fit-curve.js';
import { fitLine, slopeLimits, whereLineReaches, type Line } from './fit-line.js';
import { GOMPERTZ, gompertzReach, LOGISTIC, logisticReach, type Reach } from './growth-curves.js';
import { checkLevel, type Level, type Limits } from './limits.js';
import { sum } from './moments.js';
import { normalQuantile, studentQuantile } from './special-functions.js';
import { warningsIf } from './warnings.js';

/** Mean lengths by day. */
export interface GrowthInput {
  readonly days: readonly number[];
  /** Mean length on each day, above 0, in micrometres. */
  readonly lengthsUm: readonly number[];
  /** Length to be reached. */
  readonly targetUm?: number;
  /** For the day when this share is above the target, with the SD of lengths; half of them by default. */
  readonly shareAbove?: { readonly share: number; readonly sdUm: number };
  readonly level?: Level;
}

/** One way of growing, as fitted. */
export interface GrowthModel {
  readonly model: 'linear' | 'exponential' | 'gompertz' | 'logistic';
  readonly parameters: Readonly<Record<string, number>>;
  /** Residual standard deviation in micrometres; of the logarithm for `exponential`. */
  readonly residualSd: number;
  /** Corrected Akaike criterion on the scale of lengths, smaller is better; null when there are too few dates. */
  readonly aicc: number | null;
  /** Day the target is reached; null when it is not asked for, never reached, not bounded, or too far ahead. */
  readonly dayToTarget: Limits | null;
  /** Day a further sample's mean would be seen at the target; for straight lines only. */
  readonly dayToTargetNewSample: Limits | null;
}

/** Growth with its models. */
export interface GrowthEstimate {
  readonly ratePerDayUm: Limits;
  /** Rate of the logarithm, per day. */
  readonly specificRatePerDay: Limits;
  readonly models: readonly GrowthModel[];
  /** The model of the smallest criterion from six dates on, else the straight line. */
  readonly chosen: GrowthModel['model'];
  /** Earliest and latest day among the models; plan for both. */
  readonly spread: { readonly earliest: number; readonly latest: number } | null;
  readonly warnings: readonly Warning[];
}

/** No forecast further ahead than this part of the observed days. */
const FURTHEST: number = 1 / 3;
const DATES_FOR_MODELS = 6;

/** Akaike's criterion for least squares with p parameters and the scatter (Hurvich and Tsai 1989). */
function aicc(squares: number, n: number, p: number): number | null {
  const k = p + 1;
  if (n - k - 1 <= 0 || squares <= 0) return null;
  return n * Math.log(squares / n) + 2 * k + (2 * k * (k + 1)) / (n - k - 1);
}

/** What every model is fitted to and asked. */
interface Question {
  readonly days: readonly number[];
  readonly lengths: readonly number[];
  readonly target: number | null;
  readonly level: Level;
}

const squaresAround = ({ days, lengths }: Question, model: (day: number) => number): number =>
  sum(days.map((day, i) => ((lengths[i] ?? 0) - model(day)) ** 2));

function straight(
  question: Question,
  model: 'linear' | 'exponential',
): { readonly fit: GrowthModel; readonly line: Line } {
  const { days, lengths, target, level } = question;
  const log = model === 'exponential';
  const line = fitLine(days, log ? lengths.map(Math.log) : lengths);
  const height = (day: number): number => {
    const value = line.intercept + line.slope * day;
    return log ? Math.exp(value) : value;
  };
  const y = target === null ? null : log ? Math.log(target) : target;
  const reach = (of: 'line' | 'new point'): Limits | null =>
    y === null || line.degreesOfFreedom < 1 || line.slope <= 0 ? null : whereLineReaches(line, y, of, level);
  return {
    line,
    fit: {
      model,
      parameters: { intercept: line.intercept, slopePerDay: line.slope },
      residualSd: line.residualSd,
      aicc: aicc(squaresAround(question, height), days.length, 2),
      dayToTarget: reach('line'),
      dayToTargetNewSample: reach('new point'),
    },
  };
}

/** Names of a curve's parameters, where to begin, and when it reaches a length. */
interface CurveModel {
  readonly model: 'gompertz' | 'logistic';
  readonly curve: Curve;
  readonly names: readonly [string, string, string];
  readonly reach: Reach;
  readonly start: (most: number, middle: number, span: number) => readonly number[];
}

const CURVES: readonly CurveModel[] = [
  {
    model: 'gompertz',
    curve: GOMPERTZ,
    names: ['asymptoteUm', 'ratePerDay', 'inflectionDay'],
    reach: gompertzReach,
    start: (most, middle, span) => [1.5 * most, 1.5 / span, middle],
  },
  {
    model: 'logistic',
    curve: LOGISTIC,
    names: ['asymptoteUm', 'inflectionDay', 'scaleDays'],
    reach: logisticReach,
    start: (most, middle, span) => [1.3 * most, middle, span / 3],
  },
];

function curved(
  { days, lengths, target, level }: Question,
  { model, curve, names, reach, start }: CurveModel,
): GrowthModel | null {
  const [least, last] = [Math.min(...days), Math.max(...days)];
  const begin = start(Math.max(...lengths), (least + last) / 2, last - least);
  const fit = fitCurve(curve, { xs: days, ys: lengths }, begin);
  if (fit === null || (fit.parameters[0] ?? 0) <= 0) return null;
  return {
    model,
    parameters: Object.fromEntries(names.map((name, i) => [name, fit.parameters[i] ?? Number.NaN])),
    residualSd: fit.residualSd,
    aicc: aicc(fit.residualSquares, days.length, 3),
    dayToTarget: target === null ? null : delta(reach(fit.parameters, target), fit, level),
    dayToTargetNewSample: null,
  };
}

/** Limits of a day by the delta method with Student's t. */
function delta(
  reached: ReturnType<Reach>,
  {
    covariance,
    degreesOfFreedom,
  }: { readonly covariance: readonly (readonly number[])[]; readonly degreesOfFreedom: number },
  level: Level,
): Limits | null {
  if (reached === null) return null;
  const { day, slopes } = reached;
  const variance = sum(slopes.flatMap((a, i) => slopes.map((b, j) => a * b * (covariance[i]?.[j] ?? 0))));
  const h = studentQuantile((1 + level) / 2, degreesOfFreedom) * Math.sqrt(Math.max(0, variance));
  return Number.isFinite(h) ? { estimate: day, low: day - h, high: day + h } : null;
}

function check({ days, lengthsUm, targetUm, shareAbove }: GrowthInput): void {
  if (days.length !== lengthsUm.length)
    throw badArgument('lengthsUm', `a list of ${days.length}, as long as days`, lengthsUm.length);
  if (days.length < 2) throw badArgument('days', 'a list of two or more', days.length);
  const bad = [...lengthsUm, targetUm ?? 1].find((length) => !(length > 0 && length < 1e6));
  if (bad !== undefined) throw badArgument('a length', 'a number of micrometres above 0 and below 1e6', bad);
  if (shareAbove && !(shareAbove.share > 0 && shareAbove.share < 1 && shareAbove.sdUm >= 0)) {
    throw badArgument('shareAbove', 'a share between 0 and 1 with an SD of 0 or more', shareAbove.share);
  }
}

/** Mean length at which the asked share is above the target: target + z_q SD. */
export const targetForShare = (targetUm: number, share: number, sdUm: number): number =>
  targetUm + normalQuantile(share) * sdUm;

function ask({ days, lengthsUm, targetUm, shareAbove, level = 0.95 }: GrowthInput): Question {
  const target =
    targetUm === undefined ? null : shareAbove ? targetForShare(targetUm, shareAbove.share, shareAbove.sdUm) : targetUm;
  return { days, lengths: lengthsUm, target, level };
}

/** Takes away days too far ahead. */
function within(models: readonly GrowthModel[], latestDay: number): GrowthModel[] {
  return models.map((model) =>
    model.dayToTarget !== null && model.dayToTarget.estimate > latestDay
      ? { ...model, dayToTarget: null, dayToTargetNewSample: null }
      : model,
  );
}

/**
 * Growth from mean lengths by day: rates, models side by side, and the day a length is reached. Assumes one group of larvae
 * at one feed and temperature, not culled between the dates; a change of either breaks every forecast. Von Bertalanffy's
 * curve is not offered: on larval lengths, which still speed up, it does not come to rest.
 *
 * @throws VeligridError `bad-argument` for fewer than two days or lengths out of range
 */
export function estimateGrowth(input: GrowthInput): GrowthEstimate {
  check(input);
  checkLevel(input.level ?? 0.95);
  const question = ask(input);
  const { days, target, level } = question;
  const linear = straight(question, 'linear');
  const exponential = straight(question, 'exponential');
  const curves = CURVES.map((model) => curved(question, model));
  const fitted = [linear.fit, exponential.fit, ...curves.filter((fit) => fit !== null)];
  const [least, last] = [Math.min(...days), Math.max(...days)];
  const models = within(fitted, last + (last - least) * FURTHEST);
  const reached = models.flatMap(({ dayToTarget }) => (dayToTarget === null ? [] : [dayToTarget.estimate]));
  const enough = days.length >= DATES_FOR_MODELS;
  const ranked = models.filter((model) => model.aicc !== null).sort((a, b) => (a.aicc ?? 0) - (b.aicc ?? 0));
  const spread = reached.length > 0 ? { earliest: Math.min(...reached), latest: Math.max(...reached) } : null;
  return {
    ratePerDayUm: slopeLimits(linear.line, level),
    specificRatePerDay: slopeLimits(exponential.line, level),
    models,
    chosen: enough ? (ranked[0]?.model ?? 'linear') : 'linear',
    spread,
    warnings: warningsIf([
      ['few-for-models', !enough],
      ['model-not-fitted', enough && curves.includes(null)],
      ['forecast-too-far', fitted.some((fit, i) => fit.dayToTarget !== null && models[i]?.dayToTarget === null)],
      [
        'target-not-reached',
        target !== null && days.length > 2 && fitted.some(({ dayToTarget }) => dayToTarget === null),
      ],
      ['models-disagree', spread !== null && spread.latest - spread.earliest > 1],
    ]),
  };
}
