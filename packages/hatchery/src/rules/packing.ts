import { badArgument } from '@veligrid/model';
import { exactly, productLimits, ratioLimits, times, type Limits } from '@veligrid/estimation';
import { figure, numberOf, type Figure, type FigureBook } from '../presets/figure-book.js';
import { checkSome } from './amount.js';
import { raised, usedFigures, type Plan } from './answer.js';
import { caution } from './cautions.js';
import { checkAbove0 } from './checks.js';
import { ruleWarning } from './sentences.js';

/** Larvae to be packed. */
export interface PackingQuestion {
  readonly larvae: Limits;
  /** Larvae wanted in a package. */
  readonly perPackage: number;
  readonly packages?: number;
  /** `count`: by mL of the counted suspension. `volume`: by mL of the drained mass. `weight`: by grams of it. */
  readonly by: 'count' | 'volume' | 'weight';
  /** mL of the suspension that holds all larvae, for `count`. */
  readonly suspensionMl?: number;
  /** Counted part of the drained mass: larvae in so many mL or grams; for `volume` the preset by default. */
  readonly sample?: { readonly larvae: Limits; readonly ml?: number; readonly grams?: number };
  /** Days until they arrive. */
  readonly daysUnderway?: number;
}

/** How to fill the packages. */
export interface PackingPlan extends Plan {
  readonly by: PackingQuestion['by'];
  readonly unit: 'mL of suspension' | 'mL of drained larvae' | 'g of drained larvae';
  /** Larvae in one unit. */
  readonly larvaePerUnit: Limits;
  /** Units for one package: take the estimate. */
  readonly perPackage: number;
  /** Larvae that a package then holds. */
  readonly larvaePerPackage: Limits;
  /** Units that hold the wanted number for sure, as far as the limits go. */
  readonly perPackageForSure: number;
  /** Whole packages: by the estimate, and those that are sure. */
  readonly packages: { readonly estimate: number; readonly low: number; readonly high: number };
  /** Larvae left after the packages asked for, or after all whole ones. */
  readonly left: Limits;
}

interface Unit {
  readonly unit: PackingPlan['unit'];
  readonly perUnit: Limits;
  readonly figures: readonly Figure[];
}

function unitOf(question: PackingQuestion, book: FigureBook): Unit {
  const { by, larvae, suspensionMl, sample } = question;
  if (by === 'count') {
    if (suspensionMl === undefined) throw badArgument('suspensionMl', 'given when packing by count', undefined);
    checkAbove0('suspensionMl', suspensionMl);
    return { unit: 'mL of suspension', perUnit: times(larvae, 1 / suspensionMl), figures: [] };
  }
  const field = by === 'volume' ? 'ml' : 'grams';
  const unit = by === 'volume' ? 'mL of drained larvae' : 'g of drained larvae';
  if (sample === undefined && by === 'volume') {
    const preset = figure(book, 'packing.larvae-per-packed-ml');
    return { unit, perUnit: exactly(numberOf(preset)), figures: [preset] };
  }
  const amount = sample?.[field];
  if (sample === undefined || amount === undefined) {
    throw badArgument(
      `sample.${field}`,
      `given when packing by ${by}: count the larvae in a little of the drained mass`,
      undefined,
    );
  }
  checkAbove0(`sample.${field}`, amount);
  checkSome('sample.larvae', sample.larvae);
  return { unit, perUnit: times(sample.larvae, 1 / amount), figures: [] };
}

const whole = (value: number): number => Math.floor(value + 1e-9);

/**
 * Larvae per package: units = wanted / larvae per unit, the unit being mL of suspension, mL or grams of the drained mass.
 *
 * @param book for `packing.larvae-per-packed-ml` and `packing.longest-days-chilled`
 * @throws VeligridError `bad-argument` when the volume or sample that the way of packing needs is missing
 */
export function packing(question: PackingQuestion, book: FigureBook): PackingPlan {
  const { larvae, perPackage, packages, by, daysUnderway } = question;
  checkSome('larvae', larvae);
  checkAbove0('perPackage', perPackage);
  if (packages !== undefined) checkAbove0('packages', packages);
  const { unit, perUnit, figures } = unitOf(question, book);
  const units = perPackage / perUnit.estimate;
  const longest = daysUnderway === undefined ? null : figure(book, 'packing.longest-days-chilled');
  const possible = ratioLimits(larvae, exactly(perPackage));
  const filled = packages ?? whole(possible.estimate);
  // Filled from the counted lot itself, error of the lot is in every package alike.
  const taken =
    by === 'count' ? times(larvae, (filled * perPackage) / larvae.estimate) : times(perUnit, filled * units);
  const left = larvae.estimate - taken.estimate;
  return {
    by,
    unit,
    larvaePerUnit: perUnit,
    perPackage: units,
    larvaePerPackage: times(perUnit, units),
    perPackageForSure: perUnit.low > 0 ? perPackage / perUnit.low : units,
    packages: { estimate: whole(possible.estimate), low: whole(possible.low), high: whole(possible.high) },
    left: leftOver(larvae, left, by),
    figures: usedFigures([...figures, longest]),
    warnings: raised([
      packages !== undefined &&
        packages > possible.estimate &&
        ruleWarning('too-few-larvae.to-pack', { packages, asked: packages * perPackage, larvae }),
      figures.length > 0 && ruleWarning('preset-packed-volume', {}),
      longest !== null &&
        daysUnderway !== undefined &&
        daysUnderway > numberOf(longest) &&
        ruleWarning('too-long-underway', { days: daysUnderway, most: numberOf(longest) }),
    ]),
    cautions: [caution('moving-live-animals'), caution('estimate-not-certificate')],
  };
}

/** What remains, 0 or more: of the counted lot in proportion, else with the limits of the lot. */
function leftOver(larvae: Limits, left: number, by: PackingQuestion['by']): Limits {
  const part = Math.max(0, left) / larvae.estimate;
  if (by === 'count') return times(larvae, part);
  return productLimits(larvae, exactly(part));
}
