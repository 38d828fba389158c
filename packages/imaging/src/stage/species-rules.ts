import type { Stage } from '@veligrid/model';
import { shiftSizes } from './rules/shift-sizes.js';
import type { StageRules } from './rules/stage-rules.js';
import { middleLength, type SpeciesPreset } from './species.js';

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
  return { ...shiftSizes(rules, shifts), species: to.species };
}
