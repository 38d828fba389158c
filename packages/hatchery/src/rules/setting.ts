import { badArgument, type Warning } from '@veligrid/model';
import { exactly, productLimits, ratioLimits, times, type Level, type Limits } from '@veligrid/estimation';
import { figure, numberOf, type Figure, type FigureBook } from '../presets/figure-book.js';
import { checkSome } from './amount.js';
import { raised, usedFigures, type Plan } from './answer.js';
import { caution } from './cautions.js';
import { checkAbove0 } from './checks.js';
import { microcultch, spatPerGrainFor, type Microcultch, type MicrocultchAnswer } from './microcultch.js';
import { orPreset } from './or-preset.js';
import { settingEfficiency, type PastSet, type SettingEfficiency } from './setting-efficiency.js';
import { ruleWarning } from './sentences.js';

/** Cultch, larvae and what is wanted. */
export interface SettingQuestion {
  /** Larvae that there are. */
  readonly larvae?: Limits;
  readonly shells?: number;
  readonly bags?: number;
  readonly bushels?: number;
  /** The presets by default. */
  readonly shellsPerBag?: number;
  readonly shellsPerBushel?: number;
  readonly targetPerShell?: number;
  readonly efficiency?: Limits;
  readonly ownSets?: readonly PastSet[];
  readonly microcultch?: Microcultch;
  /** Surface to set on, m2. */
  readonly areaM2?: number;
  readonly level?: Level;
}

/** How many to set on how much. */
export interface SettingPlan extends Plan {
  readonly efficiency: { readonly share: Limits; readonly basis: SettingEfficiency['basis'] };
  readonly targetPerShell: number;
  readonly cultch: { readonly shells: number; readonly bags: number; readonly bushels: number } | null;
  /** Larvae to put to set on this cultch for the target. */
  readonly needed: { readonly larvae: Limits; readonly perShell: Limits; readonly perBag: Limits } | null;
  /** What the larvae that there are would give. */
  readonly expected: {
    readonly spat: Limits;
    readonly spatPerShell: Limits | null;
    /** Shells, bags and bushels that they serve at the target. */
    readonly serves: { readonly shells: Limits; readonly bags: Limits; readonly bushels: Limits };
  } | null;
  readonly microcultch: (MicrocultchAnswer & { readonly gramsForMostDoubles: number }) | null;
  readonly larvaePerM2: Limits | null;
}

interface Packing {
  readonly perBag: number;
  readonly perBushel: number;
  readonly figures: readonly Figure[];
}

function packingOf({ shellsPerBag, shellsPerBushel }: SettingQuestion, book: FigureBook): Packing {
  const bag = orPreset(shellsPerBag, 'setting.shells-per-bag', book);
  const bushel = orPreset(shellsPerBushel, 'setting.shells-per-bushel', book);
  return { perBag: bag.value, perBushel: bushel.value, figures: usedFigures([bag.preset, bushel.preset]) };
}

function shellsOf({ shells, bags, bushels }: SettingQuestion, { perBag, perBushel }: Packing): number | null {
  const given = [shells, bags, bushels].filter((one) => one !== undefined);
  if (given.length > 1)
    throw badArgument('the cultch', 'given once, as shells, bags or bushels', `${given.length} of them`);
  if (shells !== undefined) return shells;
  if (bags !== undefined) return bags * perBag;
  return bushels === undefined ? null : bushels * perBushel;
}

function check(
  { larvae, microcultch: grains, areaM2 = 1, targetPerShell = 1 }: SettingQuestion,
  shells: number | null,
): void {
  if (larvae) checkSome('larvae', larvae);
  if (shells !== null) checkAbove0('the cultch', shells);
  checkAbove0('areaM2', areaM2);
  checkAbove0('targetPerShell', targetPerShell);
  if (larvae === undefined && shells === null) {
    throw badArgument('larvae', 'given, or the cultch as shells, bags or bushels', 'neither');
  }
  if (grains && larvae === undefined) throw badArgument('larvae', 'given for microcultch', undefined);
}

interface Judged {
  readonly question: SettingQuestion;
  readonly efficiency: SettingEfficiency;
  readonly needed: SettingPlan['needed'];
  readonly mostDoubles: number;
  readonly grains: SettingPlan['microcultch'];
}

function settingWarnings({ question, efficiency, needed, mostDoubles, grains }: Judged): Warning[] {
  const { larvae } = question;
  const { estimate, low, high } = efficiency.share;
  return raised([
    high > 1 && ruleWarning('efficiency-over-100', { high: 100 * high }),
    efficiency.basis === 'preset' &&
      ruleWarning('efficiency-preset', { usual: 100 * estimate, low: 100 * low, high: 100 * high }),
    larvae !== undefined &&
      needed !== null &&
      larvae.estimate < needed.larvae.estimate &&
      ruleWarning('too-few-larvae.to-set', { needed: needed.larvae, larvae }),
    grains !== null &&
      grains.doubles.estimate > mostDoubles &&
      ruleWarning('too-little-microcultch', {
        doubles: 100 * grains.doubles.estimate,
        most: 100 * mostDoubles,
        grams: grains.gramsForMostDoubles,
      }),
  ]);
}

/**
 * Larvae for a target: shells x target spat per shell / efficiency; spat from larvae: larvae x efficiency. Limits are those
 * of efficiency and numbers together.
 *
 * @param book for `setting.*`
 * @throws VeligridError `bad-argument` when neither larvae nor cultch are given, or cultch more than once
 */
export function setting(question: SettingQuestion, book: FigureBook): SettingPlan {
  const { larvae, level = 0.95, areaM2 } = question;
  const packing = packingOf(question, book);
  const shells = shellsOf(question, packing);
  check(question, shells);
  const target = orPreset(question.targetPerShell, 'setting.spat-per-shell', book);
  const targetPerShell = target.value;
  const efficiency = settingEfficiency(question.efficiency, question.ownSets, level, book);
  const spat = larvae ? productLimits(larvae, efficiency.share) : null;
  const perShell = ratioLimits(exactly(targetPerShell), efficiency.share);
  const most = figure(book, 'setting.most-doubles');
  const grains =
    question.microcultch && larvae ? onGrains(larvae, efficiency.share, question.microcultch, numberOf(most)) : null;
  const needed = neededFor(shells, perShell, packing);
  return {
    efficiency: { share: efficiency.share, basis: efficiency.basis },
    targetPerShell,
    cultch: cultchOf(shells, packing),
    needed,
    expected: spat === null ? null : expectedOf(spat, shells, targetPerShell, packing),
    microcultch: grains,
    larvaePerM2: onArea(larvae, areaM2),
    figures: usedFigures([
      target.preset,
      ...packing.figures,
      ...efficiency.figures,
      ...(grains === null ? [] : [most]),
    ]),
    warnings: settingWarnings({ question, efficiency, needed, mostDoubles: numberOf(most), grains }),
    cautions: [caution('drugs-for-food-fish')],
  };
}

function expectedOf(
  spat: Limits,
  shells: number | null,
  target: number,
  { perBag, perBushel }: Packing,
): SettingPlan['expected'] {
  const serves = times(spat, 1 / target);
  return {
    spat,
    spatPerShell: shells === null ? null : times(spat, 1 / shells),
    serves: { shells: serves, bags: times(serves, 1 / perBag), bushels: times(serves, 1 / perBushel) },
  };
}

function onGrains(
  larvae: Limits,
  efficiency: Limits,
  given: Microcultch,
  mostDoubles: number,
): SettingPlan['microcultch'] {
  const answer = microcultch(larvae, efficiency, given);
  const grains = productLimits(larvae, efficiency).estimate / spatPerGrainFor(mostDoubles);
  return { ...answer, gramsForMostDoubles: grains / given.grainsPerGram };
}

const cultchOf = (shells: number | null, { perBag, perBushel }: Packing): SettingPlan['cultch'] =>
  shells === null ? null : { shells, bags: shells / perBag, bushels: shells / perBushel };

const neededFor = (shells: number | null, perShell: Limits, { perBag }: Packing): SettingPlan['needed'] =>
  shells === null ? null : { larvae: times(perShell, shells), perShell, perBag: times(perShell, perBag) };

const onArea = (larvae: Limits | undefined, areaM2: number | undefined): Limits | null =>
  larvae === undefined || areaM2 === undefined ? null : times(larvae, 1 / areaM2);
