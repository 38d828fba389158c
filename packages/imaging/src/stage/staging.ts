import type { SampleNotes, Warning } from '@veligrid/model';
import { judgeBy, type Judge, type StageProbabilities } from './rules/judge.js';
import type { StageRules } from './rules/stage-rules.js';
import { loadSpecies, loadStartingRules } from './load-stage-files.js';
import { checkSampleNotes, readyBySize, sampleWarnings, stageWeights, type StageHistory } from './sample.js';
import type { SpeciesPreset } from './species.js';
import { rulesForSpecies } from './species-rules.js';

/** What stages are judged by and for. */
export interface StagingOptions {
  /** Stage rules. Default: the starting rules. */
  readonly rules?: StageRules;
  /** Species preset, or the identifier of a committed one. Default `eastern-oyster`. */
  readonly species?: SpeciesPreset | string;
  /** What is known of the sample. Default: live, of unknown age. */
  readonly sample?: SampleNotes;
  /** Confirmed larvae by stage on the tank's last slide. Default: none. */
  readonly history?: StageHistory;
}

/** Staging made ready for photos. */
export interface Staging {
  readonly rulesVersion: string;
  readonly leastConfidence: number;
  readonly sample: SampleNotes & { readonly species: string; readonly speciesVersion: string };
  readonly warnings: readonly Warning[];
  /** Probabilities of stages for one object's features; `lengthUm` null without a scale. */
  readonly probabilities: (values: Readonly<Record<string, number>>, lengthUm: number | null) => StageProbabilities;
}

/** Loads and checks everything that staging needs. */
export async function prepareStaging(options: StagingOptions = {}): Promise<Staging> {
  const { species = 'eastern-oyster', sample = { kind: 'live' }, history } = options;
  checkSampleNotes(sample);
  const [rules, preset] = await Promise.all([
    options.rules ?? loadStartingRules(),
    typeof species === 'string' ? loadSpecies(species) : species,
  ]);
  const own = preset.species === rules.species ? preset : await loadSpecies(rules.species);
  const judge: Judge = judgeBy(rulesForSpecies(rules, own, preset));
  const known = stageWeights(preset, sample, history);
  // Rules that learned the last stage of a species without an eye spot tell it themselves.
  const bySize = !preset.eyeSpot && !rules.classes.some(({ stage }) => stage === preset.readyStage);
  const weights = bySize ? { ...known, eyed: known[preset.readyStage] ?? 0 } : known;
  return {
    rulesVersion: rules.version,
    leastConfidence: rules.leastConfidence,
    sample: { ...sample, species: preset.species, speciesVersion: preset.version },
    warnings: sampleWarnings({ ...preset, eyeSpot: !bySize }, sample),
    probabilities: (values, lengthUm) => {
      const probabilities = judge.probabilities(values, weights);
      return bySize ? readyBySize(probabilities, preset, lengthUm) : probabilities;
    },
  };
}
