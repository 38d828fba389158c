import type { Stage } from '@veligrid/model';
import type { StageRules } from './rules/stage-rules.js';
import { middleLength, type SpeciesPreset } from './species.js';

/** Features that are logarithms of a length. */
const SIZES: ReadonlySet<string> = new Set(['ln_length', 'ln_diameter']);

/** Stage of the other species that a stage is compared with: the last one before setting answers to the last one. */
function counterpart(stage: Stage, from: SpeciesPreset, to: SpeciesPreset): Stage {
  return stage === from.readyStage ? to.readyStage : stage;
}

/**
 * Rules for another species than the one they were made for: the mean sizes of the classes are moved by the ratio of the
 * two presets' middle lengths, everything else stays. Unchanged for the same species.
 *
 * @param from preset of the species the rules were made for
 * @param to preset of the species at hand
 */
export function rulesForSpecies(rules: StageRules, from: SpeciesPreset, to: SpeciesPreset): StageRules {
  if (from.species === to.species) return rules;
  const shifts = rules.classes.map(({ stage }) => {
    const [own, other] = [middleLength(from, stage), middleLength(to, counterpart(stage, from, to))];
    return own === null || other === null ? 0 : Math.log(other / own);
  });
  const isSize = rules.features.map((name) => SIZES.has(name));
  return {
    ...rules,
    species: to.species,
    low: rules.low.map((value, k) => value + (isSize[k] ? Math.min(0, ...shifts) : 0)),
    high: rules.high.map((value, k) => value + (isSize[k] ? Math.max(0, ...shifts) : 0)),
    classes: rules.classes.map((one, c) => ({
      ...one,
      mean: one.mean.map((value, k) => value + (isSize[k] ? shifts[c] : 0)),
    })),
  };
}
