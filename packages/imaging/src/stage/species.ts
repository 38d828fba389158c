import { STAGES, VeligridError, type Stage } from '@veligrid/model';

/** A figure's origin: where it stands, and whether it was read there. */
export interface Sourced {
  readonly source: string;
  /** `read`, `read, second hand`, `from memory` or `chosen`. */
  readonly confidence: string;
}

/** Usual lengths of a stage, micrometres: parallel to the hinge for shelled larvae, diameter for eggs and embryos. */
export interface StageSize extends Sourced {
  readonly stage: Stage;
  readonly lowUm: number;
  readonly highUm: number;
}

/** Usual ages of a stage, hours after fertilisation. */
export interface StageAge extends Sourced {
  readonly stage: Stage;
  readonly fromHours: number;
  readonly toHours: number;
}

/** How likely a stage is beforehand, relative to the others; a stage that is not listed does not occur. */
export interface StageWeight extends Sourced {
  readonly stage: Stage;
  readonly weight: number;
}

/** What is known of a species: plain data, editable per hatchery, versioned. */
export interface SpeciesPreset {
  readonly format: 'veligrid-species-1';
  /** Identifier, kebab-case. */
  readonly species: string;
  readonly name: string;
  readonly version: string;
  /** Last stage before setting: `eyed`, or `pediveliger` for species without an eye spot. */
  readonly readyStage: Stage;
  readonly eyeSpot: boolean;
  readonly sizes: readonly StageSize[];
  readonly ages: readonly StageAge[];
  readonly weights: readonly StageWeight[];
}

const refuse = (reason: string): never => {
  throw new VeligridError(
    'bad-argument',
    `The species preset can't be used: ${reason}. Correct it after the pattern of packages/imaging/presets.`,
  );
};

const isObject = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);
const isText = (value: unknown): value is string => typeof value === 'string' && value !== '';
const isAmount = (value: unknown): value is number => typeof value === 'number' && Number.isFinite(value) && value >= 0;

function stageOf(value: unknown): Stage {
  return STAGES.find((stage) => stage === value) ?? refuse(`there is no stage ${String(value)}`);
}

/** Rows of a list, each with its stage, source and two or one amounts. */
function rows(value: unknown, list: string, amounts: readonly string[]): Readonly<Record<string, unknown>>[] {
  if (!Array.isArray(value)) return refuse(`${list} are missing`);
  return value.map((row: unknown) => {
    if (!isObject(row)) return refuse(`${list} must be objects`);
    if (!isText(row['source']) || !isText(row['confidence'])) return refuse(`every figure in ${list} needs a source`);
    const numbers = amounts.map((name) => row[name]);
    if (!numbers.every(isAmount)) return refuse(`${list} need ${amounts.join(' and ')}, numbers of 0 or more`);
    const [low, high] = numbers;
    if (low !== undefined && high !== undefined && low >= high) {
      return refuse(`${amounts.join(' must be below ')} in ${list}`);
    }
    return { ...row, stage: stageOf(row['stage']) };
  });
}

/**
 * Checks what was read from a species file.
 *
 * @throws VeligridError `bad-argument` that says what is wrong with it
 */
export function parseSpecies(parsed: unknown): SpeciesPreset {
  if (!isObject(parsed) || parsed['format'] !== 'veligrid-species-1') return refuse('this is no species file');
  const { species, name, version, eyeSpot } = parsed;
  if (!isText(species) || !isText(name) || !isText(version)) return refuse('species, name or version is missing');
  if (typeof eyeSpot !== 'boolean') return refuse('eyeSpot must be true or false');
  return {
    format: parsed['format'],
    species,
    name,
    version,
    readyStage: stageOf(parsed['readyStage']),
    eyeSpot,
    sizes: rows(parsed['sizes'], 'sizes', ['lowUm', 'highUm']) as unknown as StageSize[],
    ages: rows(parsed['ages'], 'ages', ['fromHours', 'toHours']) as unknown as StageAge[],
    weights: rows(parsed['weights'], 'weights', ['weight']) as unknown as StageWeight[],
  };
}

/** Middle length of a stage in micrometres, the geometric mean of its range; null when the preset has none. */
export function middleLength({ sizes }: Pick<SpeciesPreset, 'sizes'>, stage: Stage): number | null {
  const size = sizes.find((one) => one.stage === stage);
  return size === undefined ? null : Math.sqrt(size.lowUm * size.highUm);
}
