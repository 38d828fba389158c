import { badArgument, shown, VeligridError, type Warning } from '@veligrid/model';
import { exactly, ratioLimits, type Limits } from '@veligrid/estimation';
import { figure, numberOf, pointsOf, type Figure, type FigureBook } from '../presets/figure-book.js';
import { cellEquivalent, cellsPerUl, functionalResponse, type Equivalence } from './algae-equivalents.js';
import { mixVolumesMl, type MixPart, type MixQuestion } from './algae-mix.js';
import { checkSome } from './amount.js';
import { raised, usedFigures, type Plan } from './answer.js';
import { checkAbove0, checkDifferent, checkFrom0 } from './checks.js';
import { powerAt } from './curve.js';
import { ruleWarning } from './sentences.js';

/** A culture to feed from. */
export interface FeedCulture {
  readonly name: string;
  /** As in the presets. */
  readonly alga: string;
  /** Cells per mL, by count. */
  readonly cellsPerMl: Limits;
  /** Part of the food by equivalents; equal parts when no culture says. */
  readonly share?: number;
}

/** A tank to be fed. */
export interface RationQuestion {
  /** `d-larva`, `umbo`, `eyed` or `pediveliger`. */
  readonly stage: string;
  readonly larvae: Limits;
  readonly volumeMl: number;
  readonly how?: 'added' | 'topped-up';
  readonly meanLengthUm?: number;
  /** Wanted in T-Iso cells per mL; else per larva; else the preset of the stage per mL. */
  readonly targetCellsPerMl?: number;
  /** Wanted food volume, um3 per uL; by the volume of a T-Iso cell. */
  readonly targetBiovolumeUm3PerUl?: number;
  readonly cellsPerLarvaPerDay?: number;
  /** T-Iso cells per mL left from before. */
  readonly leftCellsPerMl?: number;
  /** Target of the last feed, to judge what is left. */
  readonly lastTargetCellsPerMl?: number;
  readonly equivalence?: Equivalence;
  readonly cultures: readonly FeedCulture[];
}

/** mL of one culture. */
export interface CultureDose {
  readonly name: string;
  readonly alga: string;
  /** T-Iso cells that one of its cells stands for. */
  readonly tIsoPerCell: number;
  readonly ml: Limits;
  readonly cells: number;
}

/** What a tank is fed. */
export interface RationPlan extends Plan {
  readonly stage: string;
  /** T-Iso cells per mL after feeding, and what set it. */
  readonly targetCellsPerMl: number;
  readonly setBy: 'given per mL' | 'given by volume' | 'given per larva' | 'preset per mL';
  /** What the target gives one larva. */
  readonly cellsPerLarvaPerDay: Limits;
  /** What a larva of this length is given by the preset; null without a length. */
  readonly presetPerLarvaPerDay: number | null;
  /** First over second. */
  readonly viewsRatio: number | null;
  readonly equivalence: Equivalence;
  readonly leftCellsPerMl: number;
  /** Part of the most that the larvae could eat at the target; by food volume. */
  readonly partOfMostEaten: number;
  readonly doses: readonly CultureDose[];
  readonly totalMl: number;
}

/** Shares as given, or equal ones. */
export function sharesOf(cultures: readonly { readonly share?: number }[]): number[] {
  const given = cultures.filter(({ share }) => share !== undefined).length;
  if (given === 0) return cultures.map(() => 1 / cultures.length);
  const all = cultures.reduce((sum, { share = 0 }) => sum + share, 0);
  if (given < cultures.length || !(all > 0)) {
    throw badArgument('share', 'given for every culture or for none, and not all 0', given);
  }
  return cultures.map(({ share = 0 }) => share / all);
}

const tooThin = (names: string, target: number): VeligridError =>
  new VeligridError(
    'bad-argument',
    `The culture ${names} has not more than the ${shown(target)} cells per mL wanted in the tank, in T-Iso cells, so no volume reaches it. Concentrate it, or take a denser one.`,
  );

/** Doses with limits from the density of each culture: its own mL at its limits, the others at their estimates. */
function dosesOf(cultures: readonly FeedCulture[], equivalents: readonly number[], mix: MixQuestion): CultureDose[] {
  const shares = sharesOf(cultures);
  const parts = (i: number, own: number): MixPart[] =>
    cultures.map(({ name, cellsPerMl }, j) => ({
      name,
      share: shares[j] ?? 0,
      equivalentsPerMl: (equivalents[j] ?? 1) * (i === j ? own : cellsPerMl.estimate),
    }));
  const mlAt = (i: number, own: number): number | null => mixVolumesMl(parts(i, own), mix)?.[i] ?? null;
  return cultures.map(({ name, alga, cellsPerMl }, i) => {
    const estimate = mlAt(i, cellsPerMl.estimate);
    const high = cellsPerMl.low > 0 ? mlAt(i, cellsPerMl.low) : null;
    if (estimate === null || high === null) {
      throw tooThin(
        estimate === null ? cultures.map((one) => one.name).join(', ') : `${name}, at its lower limit,`,
        mix.targetPerMl,
      );
    }
    return {
      name,
      alga,
      tIsoPerCell: equivalents[i] ?? 1,
      ml: { estimate, low: mlAt(i, cellsPerMl.high) ?? 0, high },
      cells: estimate * cellsPerMl.estimate,
    };
  });
}

interface Target {
  readonly perMl: number;
  readonly setBy: RationPlan['setBy'];
  readonly figure: Figure | null;
}

function targetOf(question: RationQuestion, book: FigureBook): Target {
  const { targetCellsPerMl, targetBiovolumeUm3PerUl, cellsPerLarvaPerDay, larvae, volumeMl, stage } = question;
  if (targetCellsPerMl !== undefined) return { perMl: targetCellsPerMl, setBy: 'given per mL', figure: null };
  if (targetBiovolumeUm3PerUl !== undefined) {
    const cell = figure(book, 'algae.t-iso.volume-um3');
    return {
      perMl: 1000 * cellsPerUl(targetBiovolumeUm3PerUl, numberOf(cell)),
      setBy: 'given by volume',
      figure: cell,
    };
  }
  if (cellsPerLarvaPerDay !== undefined) {
    return { perMl: (cellsPerLarvaPerDay * larvae.estimate) / volumeMl, setBy: 'given per larva', figure: null };
  }
  const preset = figure(book, `ration.${stage}.cells-per-ml`);
  return { perMl: numberOf(preset), setBy: 'preset per mL', figure: preset };
}

function check({ larvae, volumeMl, cultures, leftCellsPerMl = 0, meanLengthUm = 1 }: RationQuestion): void {
  checkSome('larvae', larvae);
  checkAbove0('volumeMl', volumeMl);
  checkFrom0('leftCellsPerMl', leftCellsPerMl);
  checkAbove0('meanLengthUm', meanLengthUm);
  if (cultures.length === 0) throw badArgument('cultures', 'a list of one or more', 'none');
  checkDifferent(
    'cultures',
    cultures.map(({ name }) => name),
  );
  for (const { name, cellsPerMl } of cultures) checkSome(`cellsPerMl of ${name}`, cellsPerMl);
}

/** Algae that these larvae are too small for. */
export function tooLarge(
  cultures: readonly { readonly alga: string }[],
  meanLengthUm: number | undefined,
  book: FigureBook,
): Figure[] {
  if (meanLengthUm === undefined) return [];
  return [...new Set(cultures.map(({ alga }) => alga))]
    .map((alga) => book.get(`algae.${alga}.least-larva-um`))
    .filter((one) => one !== undefined)
    .filter((one) => meanLengthUm < numberOf(one));
}

function leftWarning(
  { leftCellsPerMl: left, lastTargetCellsPerMl: last }: RationQuestion,
  low: Figure,
  high: Figure,
): Warning | false {
  if (left === undefined || last === undefined) return false;
  const part = (100 * left) / last;
  if (left < numberOf(low) * last) return ruleWarning('little-left', { part });
  return left > numberOf(high) * last && ruleWarning('much-left', { part });
}

/**
 * Ration of one tank as cells per mL and as cells per larva and day, in T-Iso cells, and mL of each culture with what is
 * left counted in and the water that the algae bring.
 *
 * @param book for `ration.*`, `algae.*` and `feeding.half-saturation-um3-per-ul`
 * @throws VeligridError `bad-argument` when the culture is not above the target, or for figures out of range
 */
export function ration(question: RationQuestion, book: FigureBook): RationPlan {
  check(question);
  const { larvae, volumeMl, meanLengthUm, leftCellsPerMl = 0, equivalence = 'weight', cultures } = question;
  const target = targetOf(question, book);
  checkAbove0('the target', target.perMl);
  const equivalents = cultures.map(({ alga }) => cellEquivalent(alga, equivalence, book));
  const mix: MixQuestion = {
    targetPerMl: target.perMl,
    leftPerMl: leftCellsPerMl,
    volumeMl,
    how: question.how ?? 'added',
  };
  const doses = dosesOf(
    cultures,
    equivalents.map(({ tIso }) => tIso),
    mix,
  );
  const perLarva = ratioLimits(exactly(target.perMl * volumeMl), larvae);
  const { byLength, preset } = byLengthOf(meanLengthUm, book);
  const apart = figure(book, 'ration.views-apart');
  const [low, high] = [figure(book, 'ration.left-low'), figure(book, 'ration.left-high')] as const;
  const viewsRatio = preset === null ? null : perLarva.estimate / preset;
  const large = tooLarge(cultures, meanLengthUm, book);
  const eaten = eatenAt(target.perMl, book);
  return {
    stage: question.stage,
    targetCellsPerMl: target.perMl,
    setBy: target.setBy,
    cellsPerLarvaPerDay: perLarva,
    presetPerLarvaPerDay: preset,
    viewsRatio,
    equivalence,
    leftCellsPerMl,
    partOfMostEaten: eaten.part,
    doses,
    totalMl: doses.reduce((sum, { ml }) => sum + ml.estimate, 0),
    figures: usedFigures([
      target.figure,
      byLength,
      ...(viewsRatio === null ? [] : [apart]),
      ...(question.lastTargetCellsPerMl === undefined ? [] : [low, high]),
      ...equivalents.flatMap((one) => one.figures),
      ...large,
      ...eaten.figures,
    ]),
    warnings: rationWarnings({
      question,
      viewsRatio,
      apart,
      large,
      target: target.perMl,
      left: leftWarning(question, low, high),
    }),
    cautions: [],
  };
}

/** Part of the most that larvae could eat, by food volume of T-Iso cells. */
function eatenAt(perMl: number, book: FigureBook): { readonly part: number; readonly figures: readonly Figure[] } {
  const half = figure(book, 'feeding.half-saturation-um3-per-ul');
  const cell = figure(book, 'algae.t-iso.volume-um3');
  return { part: functionalResponse((perMl / 1000) * numberOf(cell), numberOf(half)), figures: [half, cell] };
}

function byLengthOf(
  meanLengthUm: number | undefined,
  book: FigureBook,
): { readonly byLength: Figure | null; readonly preset: number | null } {
  if (meanLengthUm === undefined) return { byLength: null, preset: null };
  const byLength = figure(book, 'ration.per-larva.by-length');
  return { byLength, preset: powerAt(pointsOf(byLength), meanLengthUm) };
}

interface Judged {
  readonly question: RationQuestion;
  readonly viewsRatio: number | null;
  readonly apart: Figure;
  readonly large: readonly Figure[];
  readonly target: number;
  readonly left: Warning | false;
}

function rationWarnings({ question, viewsRatio, apart, large, target, left }: Judged): Warning[] {
  const most = numberOf(apart) * (1 + 1e-9);
  const { leftCellsPerMl = 0 } = question;
  return raised([
    viewsRatio !== null &&
      (viewsRatio > most || viewsRatio < 1 / most) &&
      ruleWarning('views-differ', { ratio: viewsRatio, apart: numberOf(apart) }),
    leftCellsPerMl >= target && ruleWarning('enough-left', {}),
    left,
    ...large.map((one) => ruleWarning('alga-too-large', { alga: one.name.split('.')[1] ?? '', length: numberOf(one) })),
  ]);
}
