import { STAGES, VeligridError, type Stage } from '@veligrid/model';

/** One group of objects that the discriminant tells apart; a stage that changes much in size has several. */
export interface StageClass {
  /** Its own name, kebab-case. */
  readonly name: string;
  readonly stage: Stage;
  /** Larvae and slides behind it. */
  readonly larvae: number;
  readonly slides: number;
  /** Standard deviation of ln length within the class, above 0. */
  readonly lnLengthDeviation: number;
  /** Mean of each feature, in the order of `features`. */
  readonly mean: readonly number[];
}

/** Where rules come from. */
export interface RulesOrigin {
  /** One sentence: from what, by which command. */
  readonly what: string;
  readonly larvae: number;
  readonly slides: number;
}

/** Everything by which stages are judged: plain data, versioned, readable. Never changed: learning makes new ones. */
export interface StageRules {
  readonly format: 'veligrid-stage-rules-1';
  readonly version: string;
  /** Version these were learned on top of, or null. */
  readonly parent: string | null;
  /** Finder whose opinions are among the features. */
  readonly finderVersion: string;
  /** Species preset whose sizes the class means carry. */
  readonly species: string;
  readonly origin: RulesOrigin;
  readonly features: readonly string[];
  /** Within-class standard deviation of each feature, above 0: features are divided by it. */
  readonly deviation: readonly number[];
  /** Mean of each feature over all larvae, from which the calibration takes its distance. */
  readonly centre: readonly number[];
  /** Values below and above are taken for these, so that one odd feature can't decide alone. */
  readonly low: readonly number[];
  readonly high: readonly number[];
  /** Pooled within-class covariance of the divided features, row by row, before shrinkage. */
  readonly covariance: readonly (readonly number[])[];
  /** Share of the covariance that is replaced by its mean variance, 0..1. */
  readonly shrinkage: number;
  /** Degrees of freedom behind the covariance. */
  readonly freedom: number;
  readonly classes: readonly StageClass[];
  /**
   * Calibration: logits = inputs x weights + offsets (the last row), then divided by `temperature`. Inputs are the scores
   * divided by `spread`, then the features, then how odd the length is in each class (not in rules made before 2026-11-28),
   * see `calibrationInputs`.
   */
  readonly calibration: {
    readonly spread: number;
    readonly weights: readonly (readonly number[])[];
    readonly temperature: number;
  };
  /** Least probability of the likeliest stage; below it the object is `unsure`. */
  readonly leastConfidence: number;
}

const refuse = (reason: string): never => {
  throw new VeligridError(
    'bad-argument',
    `The stage rules can't be used: ${reason}. Name a rules file that veligrid learn wrote.`,
  );
};

const isObject = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);
const isFinite = (value: unknown): value is number => typeof value === 'number' && Number.isFinite(value);
const isText = (value: unknown): value is string => typeof value === 'string' && value !== '';

function numbers(value: unknown, length: number, name: string): readonly number[] {
  if (Array.isArray(value) && value.length === length && value.every(isFinite)) return value;
  return refuse(`${name} must hold ${String(length)} numbers`);
}

function classOf(value: unknown, features: number): StageClass {
  const stage = isObject(value) ? STAGES.find((one) => one === value['stage']) : undefined;
  if (!isObject(value) || stage === undefined || !isText(value['name'])) return refuse('a class has no name or stage');
  const { name, larvae, slides } = value;
  if (!isFinite(larvae) || !isFinite(slides)) return refuse(`class ${name} does not say how many larvae it rests on`);
  const lnLengthDeviation = numberIn(value['lnLengthDeviation'], `lnLengthDeviation of ${name}`, 1e-6, 10);
  return {
    name,
    stage,
    larvae,
    slides,
    lnLengthDeviation,
    mean: numbers(value['mean'], features, `the mean of ${name}`),
  };
}

function originOf(value: unknown): RulesOrigin {
  if (!isObject(value) || !isText(value['what']) || !isFinite(value['larvae']) || !isFinite(value['slides'])) {
    return refuse('origin must say from what, how many larvae and how many slides');
  }
  return { what: value['what'], larvae: value['larvae'], slides: value['slides'] };
}

function numberIn(value: unknown, name: string, low: number, high: number): number {
  if (isFinite(value) && value >= low && value <= high) return value;
  return refuse(`${name} must be a number from ${String(low)} to ${String(high)}`);
}

function calibrationOf(value: unknown, classes: number, features: number): StageRules['calibration'] {
  const weights = isObject(value) ? value['weights'] : undefined;
  const rows = [2 * classes + features + 1, classes + features + 1];
  if (!isObject(value) || !Array.isArray(weights) || !rows.includes(weights.length)) {
    return refuse('the calibration must have two rows a class, a row a feature and one of offsets');
  }
  return {
    spread: numberIn(value['spread'], 'spread', 0.01, 1000),
    weights: weights.map((row) => numbers(row, classes, 'a row of the calibration')),
    temperature: numberIn(value['temperature'], 'temperature', 0.01, 100),
  };
}

/**
 * Checks what was read from a rules file.
 *
 * @param parsed the file's JSON
 * @throws VeligridError `bad-argument` that says what is wrong with it
 */
export function parseStageRules(parsed: unknown): StageRules {
  if (!isObject(parsed) || parsed['format'] !== 'veligrid-stage-rules-1') return refuse('this is no stage rules file');
  const { version, parent, finderVersion, species, features, classes, covariance } = parsed;
  if (!isText(version) || !isText(finderVersion) || !isText(species)) {
    return refuse('version, finderVersion or species is missing');
  }
  if (parent !== null && !isText(parent)) return refuse('parent must be a version or null');
  if (!Array.isArray(features) || features.length === 0 || !features.every(isText))
    return refuse('features are missing');
  if (!Array.isArray(classes) || classes.length < 2) return refuse('it needs two classes or more');
  if (!Array.isArray(covariance) || covariance.length !== features.length) return refuse('covariance must be square');
  const width = features.length;
  const deviation = numbers(parsed['deviation'], width, 'deviation');
  if (deviation.some((value) => value <= 0)) return refuse('deviations must be above 0');
  return {
    format: parsed['format'],
    version,
    parent,
    finderVersion,
    species,
    origin: originOf(parsed['origin']),
    features,
    deviation,
    centre: numbers(parsed['centre'], width, 'centre'),
    low: numbers(parsed['low'], width, 'low'),
    high: numbers(parsed['high'], width, 'high'),
    covariance: covariance.map((row) => numbers(row, width, 'a row of covariance')),
    shrinkage: numberIn(parsed['shrinkage'], 'shrinkage', 0, 1),
    freedom: numberIn(parsed['freedom'], 'freedom', 1, 1e12),
    classes: classes.map((one) => classOf(one, width)),
    calibration: calibrationOf(parsed['calibration'], classes.length, width),
    leastConfidence: numberIn(parsed['leastConfidence'], 'leastConfidence', 0, 1),
  };
}
