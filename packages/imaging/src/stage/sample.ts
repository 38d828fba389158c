import { badArgument, STAGES, type SampleNotes, type Stage, type Warning } from '@veligrid/model';
import type { StageProbabilities, StageWeights } from './rules/judge.js';
import { middleLength, type SpeciesPreset } from './species.js';

/**
 * Beyond its usual ages a stage's weight halves with every quarter (in ln) that the age is younger or older still, as warmth
 * and food stretch all ages alike; it never falls below this.
 */
const LEAST_AGE_WEIGHT = 0.02;
const HALVING_LN_AGE = 0.25;
/** Younger samples are taken for this old, hours. */
const YOUNGEST = 0.25;
/** Spread of ln length within a stage, for stages told by size alone: a quarter of the preset's range either way. */
const RANGE_IN_DEVIATIONS = 4;

/** Confirmed larvae by stage on the last slide of the tank. */
export type StageHistory = Readonly<Partial<Record<Stage, number>>>;

function ageWeight(preset: SpeciesPreset, stage: Stage, hours: number): number {
  const age = preset.ages.find((one) => one.stage === stage);
  if (age === undefined) return 1;
  const ln = (value: number): number => Math.log(Math.max(YOUNGEST, value));
  const outside = Math.max(0, ln(age.fromHours) - ln(hours), ln(hours) - ln(age.toHours));
  return Math.max(LEAST_AGE_WEIGHT, 0.5 ** (outside / HALVING_LN_AGE));
}

/**
 * How much more or less likely each stage is for what is known of a sample: the preset's weights, times those of the age,
 * times (confirmed larvae of the stage + 1) over their mean for the tank's last slide, times 0 for `dead` in fixed samples.
 */
export function stageWeights(preset: SpeciesPreset, notes: SampleNotes, history: StageHistory = {}): StageWeights {
  const stages = preset.weights.map(({ stage }) => stage);
  const counts = stages.map((stage) => (history[stage] ?? 0) + 1);
  const mean = counts.reduce((sum, count) => sum + count, 0) / counts.length;
  const known = preset.weights.map(({ stage, weight }, k) => {
    const age = notes.ageHours === undefined ? 1 : ageWeight(preset, stage, notes.ageHours);
    const notJudged = stage === 'dead' && notes.kind === 'fixed';
    return [stage, notJudged ? 0 : (weight * age * counts[k]) / mean] as const;
  });
  return Object.fromEntries([...STAGES.map((stage) => [stage, 0] as const), ...known]);
}

/** What has to be said about a sample's stages and lengths. */
export function sampleWarnings(preset: SpeciesPreset, notes: SampleNotes): Warning[] {
  const warnings: Warning[] = [];
  if (notes.kind === 'fixed') {
    warnings.push({
      code: 'dead-not-judged',
      message:
        'The sample is fixed: dead larvae are not judged, only empty shells are. Count the dead on a live sample.',
    });
    if (notes.buffered !== true) {
      warnings.push({
        code: 'unbuffered-fixative',
        message:
          'The fixative was not buffered, which dissolves shells: lengths may be too short. Measure a live or buffered sample.',
      });
    }
  }
  if (!preset.eyeSpot) {
    warnings.push({
      code: 'ready-by-size',
      message: `${preset.name} shows no eye spot: ${preset.readyStage} is told from umbo by size alone. Look for the foot and correct.`,
    });
  }
  return warnings;
}

/** Checks notes that come from a person. */
export function checkSampleNotes({ ageHours, kind, buffered, fixative }: SampleNotes): void {
  if (ageHours !== undefined && !(ageHours >= 0 && ageHours <= 2400)) {
    throw badArgument('ageHours', 'hours after fertilisation from 0 to 2400', ageHours);
  }
  if (kind !== 'fixed' && (buffered !== undefined || fixative !== undefined)) {
    throw badArgument('fixative', 'given only for a fixed sample', `a sample that is ${kind}`);
  }
}

/**
 * For species whose last stage shows no eye spot: what was judged umbo or eyed is shared between umbo and that stage by
 * how well the length fits the preset's range of each. Without a length all of it stays umbo.
 */
export function readyBySize(
  probabilities: StageProbabilities,
  preset: SpeciesPreset,
  lengthUm: number | null,
): StageProbabilities {
  const { umbo = 0, eyed = 0, ...others } = probabilities;
  const fit = (stage: Stage): number => {
    const size = preset.sizes.find((one) => one.stage === stage);
    const middle = middleLength(preset, stage);
    if (size === undefined || middle === null || lengthUm === null) return 0;
    const deviation = Math.log(size.highUm / size.lowUm) / RANGE_IN_DEVIATIONS;
    return Math.exp(-(((Math.log(lengthUm) - Math.log(middle)) / deviation) ** 2) / 2) / deviation;
  };
  const [asUmbo, asReady] = [fit('umbo'), fit(preset.readyStage)];
  const share = asUmbo + asReady > 0 ? asReady / (asUmbo + asReady) : 0;
  const shared = { ...others, umbo: (umbo + eyed) * (1 - share), [preset.readyStage]: (umbo + eyed) * share };
  return Object.fromEntries(Object.entries(shared).filter(([, p]) => p > 0));
}
