import { badArgument, type Stage } from '@veligrid/model';
import type { FeatureValues } from './discriminant.js';
import { ledoitWolf } from './ledoit-wolf.js';
import type { StageClass, StageRules } from './stage-rules.js';

/** One larva whose class is known. */
export interface Labelled {
  /** Name of its class. */
  readonly name: string;
  readonly stage: Stage;
  readonly slide: string;
  readonly values: FeatureValues;
}

/** What is fitted. */
export type Fitted = Pick<
  StageRules,
  'features' | 'deviation' | 'centre' | 'low' | 'high' | 'covariance' | 'shrinkage' | 'freedom' | 'classes'
>;

/** How it is fitted. */
export interface FitOptions {
  /** Share of the lowest and highest values beyond which features are cut, 0..0.1. Default 0.002. */
  readonly cut?: number;
  /** Shrinkage, 0..1. Default: that of Ledoit and Wolf. */
  readonly shrinkage?: number;
}

/** Deviation of a feature that never varies. */
const LEAST_DEVIATION = 1e-6;

/** Values of one feature over the larvae, cut to its usual range; missing ones are NaN. */
function column(
  larvae: readonly Labelled[],
  name: string,
  cut: number,
): { values: Float64Array; low: number; high: number } {
  const values = Float64Array.from(larvae, (one) => one.values[name] ?? Number.NaN);
  const sorted = values.filter(Number.isFinite).sort();
  if (sorted.length === 0) throw badArgument('larvae', `larvae that have the feature ${name}`, 'none');
  const at = Math.floor(cut * (sorted.length - 1));
  const [low, high] = [sorted[at], sorted[sorted.length - 1 - at]];
  return { values: values.map((value) => Math.min(high, Math.max(low, value))), low, high };
}

const meanOf = (values: Float64Array): number => values.reduce((sum, value) => sum + value, 0) / values.length;

function classesOf(larvae: readonly Labelled[]): {
  classes: Omit<StageClass, 'mean' | 'lnLengthDeviation'>[];
  members: Int32Array;
} {
  const byName = new Map<string, { stage: Stage; larvae: number; slides: Set<string>; index: number }>();
  const members = Int32Array.from(larvae, ({ name, stage, slide }) => {
    const known = byName.get(name) ?? { stage, larvae: 0, slides: new Set<string>(), index: byName.size };
    byName.set(name, known);
    known.larvae++;
    known.slides.add(slide);
    return known.index;
  });
  const classes = [...byName].map(([name, one]) => ({
    name,
    stage: one.stage,
    larvae: one.larvae,
    slides: one.slides.size,
  }));
  return { classes, members };
}

/** Deviation of the residuals of one class, never below the least. */
function deviationIn(residuals: ArrayLike<number>, members: Int32Array, c: number): number {
  let [squares, count] = [0, 0];
  for (let row = 0; row < residuals.length; row++) {
    if (members[row] !== c) continue;
    squares += residuals[row] ** 2;
    count++;
  }
  return Math.max(LEAST_DEVIATION, Math.sqrt(squares / Math.max(1, count - 1)));
}

/** Mean of a column in each class; a class where all are missing takes the mean of all. */
function classMeans(values: Float64Array, members: Int32Array, classes: number): Float64Array {
  const sums = new Float64Array(classes + 1);
  const counts = new Float64Array(classes + 1);
  values.forEach((value, row) => {
    if (Number.isNaN(value)) return;
    for (const at of [members[row], classes]) {
      sums[at] += value;
      counts[at]++;
    }
  });
  return sums.map((sum, c) => (counts[c] > 0 ? sum / counts[c] : sums[classes] / counts[classes])).subarray(0, classes);
}

/**
 * Fits the shrinkage discriminant: class means, within-class deviations, pooled covariance of the divided residuals (over
 * n - classes) and its shrinkage. Missing values count as their class's mean.
 *
 * @param larvae of two classes or more, more of them than classes
 * @param features names in the order wanted
 */
export function fitDiscriminant(
  larvae: readonly Labelled[],
  features: readonly string[],
  options: FitOptions = {},
): Fitted {
  const { cut = 0.002 } = options;
  const { classes, members } = classesOf(larvae);
  const freedom = larvae.length - classes.length;
  if (classes.length < 2 || freedom < 1) {
    throw badArgument(
      'larvae',
      'larvae of two classes or more, more than classes',
      `${String(larvae.length)} of ${String(classes.length)}`,
    );
  }
  const columns = features.map((name) => column(larvae, name, cut));
  const means = columns.map(({ values }) => classMeans(values, members, classes.length));
  const residuals = columns.map(({ values }, k) =>
    values.map((value, row) => (Number.isNaN(value) ? 0 : value - means[k][members[row]])),
  );
  const deviation = residuals.map((values) =>
    Math.max(LEAST_DEVIATION, Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / freedom)),
  );
  const rows = larvae.map((_, row) => Float64Array.from(residuals, (values, k) => values[row] / deviation[k]));
  const sums = crossProducts(rows, features.length);
  const overN = sums.map((row) => row.map((value) => value / larvae.length));
  return {
    features,
    deviation,
    centre: columns.map(({ values }) => meanOf(values.filter(Number.isFinite))),
    low: columns.map(({ low }) => low),
    high: columns.map(({ high }) => high),
    covariance: sums.map((row) => Array.from(row, (value) => value / freedom)),
    shrinkage: options.shrinkage ?? ledoitWolf(rows, overN),
    freedom,
    classes: classes.map((one, c) => ({
      ...one,
      lnLengthDeviation: deviationIn(residuals[features.indexOf('ln_length')] ?? [], members, c),
      mean: means.map((values) => values[c]),
    })),
  };
}

/** Sum of x x' over the rows. */
function crossProducts(rows: readonly Float64Array[], width: number): Float64Array[] {
  const sums = Array.from({ length: width }, () => new Float64Array(width));
  for (const row of rows) {
    for (let i = 0; i < width; i++) {
      const [value, into] = [row[i], sums[i]];
      for (let j = i; j < width; j++) into[j] += value * row[j];
    }
  }
  for (let i = 0; i < width; i++) for (let j = 0; j < i; j++) sums[i][j] = sums[j][i];
  return sums;
}
