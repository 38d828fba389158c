import { describe, expect, it } from 'vitest';
import { loadSpecies, loadStartingRules, speciesNames, thresholdTable } from '@veligrid/imaging';
import { KINDS, STAGES, type Kind } from '@veligrid/model';
import { judgeStage } from '../../../packages/imaging/src/stage/judge-stage.js';
import { readyBySize, stageWeights } from '../../../packages/imaging/src/stage/sample.js';
import { prepareStaging } from '../../../packages/imaging/src/stage/staging.js';
import type { StageRules } from '../../../packages/imaging/src/stage/rules/stage-rules.js';

const rules = await loadStartingRules();
const oyster = await loadSpecies('eastern-oyster');
const clam = await loadSpecies('hard-clam');

/** Features of the middle larva of a class of the rules. */
function middleOf({ features, classes }: StageRules, name: string): Record<string, number> {
  const mean = classes.find((one) => one.name === name)?.mean ?? [];
  return Object.fromEntries(features.map((feature, k) => [feature, mean[k] ?? 0]));
}

const larva = {
  kind: 'shelled-larva',
  isLarva: true,
  score: 0.9,
  lengthUm: 70,
  feretRatio: 0.9,
} as const;

describe('starting rules', () => {
  it('call the middle larva of every class by its stage', async () => {
    const staging = await prepareStaging();
    for (const { name, stage } of rules.classes.filter((one) => one.stage !== 'debris')) {
      const { stage: said } = judgeStage({ ...larva, values: middleOf(rules, name) }, staging);
      expect(said, name).toBe(stage);
    }
  });

  it('say what they were made from, and are readable for every pair of neighbours', () => {
    expect(rules.origin.what).toContain('seeds');
    expect(rules.origin.larvae).toBe(rules.classes.reduce((sum, one) => sum + one.larvae, 0));
    const table = thresholdTable(rules);
    expect(table.map(({ first, second }) => `${first} ${second}`)).toContain('d-larva umbo');
    for (const { features } of table) expect(features).toHaveLength(3);
  });

  it('tell a straight-hinge larva of 100 um from an umbo larva of 90 um by more than length', async () => {
    const staging = await prepareStaging();
    const said = (name: string, um: number): string => {
      const values = { ...middleOf(rules, name), ln_length: Math.log(um), ln_diameter: Math.log(um) - 0.05 };
      return judgeStage({ ...larva, lengthUm: um, values }, staging).stage;
    };
    expect(said('d-hinge', 100)).toBe('d-larva');
    expect(said('early-umbo', 90)).toBe('umbo');
  });
});

describe('judging an object', () => {
  it('is unsure below the least confidence, and keeps the probabilities', () => {
    const torn = { d: 0.35, u: 0.33 };
    const staging = {
      leastConfidence: 0.4,
      rulesVersion: '1',
      sample: { kind: 'live', species: 'x', speciesVersion: '1' },
      warnings: [],
      probabilities: () => ({ 'd-larva': torn.d, umbo: torn.u }),
    } as const;
    const answer = judgeStage({ ...larva, values: {} }, staging);
    expect(answer.stage).toBe('unsure');
    expect(answer.stageProbabilities).toEqual({ 'd-larva': 0.35, umbo: 0.33 });
    expect(answer.confidence).toBeCloseTo(0.35 * 0.9, 12);
  });

  it('is weighed by the kinds where the features say too little', () => {
    const staging = {
      leastConfidence: 0.4,
      rulesVersion: '1',
      sample: { kind: 'live', species: 'eastern-oyster', speciesVersion: '1' },
      warnings: [],
      probabilities: () => ({ egg: 0.3, 'd-larva': 0.5, dead: 0.1 }),
    } as const;
    const none = Object.fromEntries(KINDS.map((kind) => [kind, 0])) as Record<Kind, number>;
    const kinds = { ...none, 'egg-or-embryo': 0.9, 'shelled-larva': 0.1 };
    const { stageProbabilities: p, stage } = judgeStage({ ...larva, values: {}, kinds }, staging);
    // 0.3 x 0.9, 0.5 x 0.1 and 0.1 x 0.01 (the finder rules nothing out), together 0.9 as before
    expect(stage).toBe('egg');
    expect(p.egg).toBeCloseTo((0.9 * 0.27) / 0.321, 12);
    expect(p['d-larva']).toBeCloseTo((0.9 * 0.05) / 0.321, 12);
    expect(p.dead).toBeCloseTo((0.9 * 0.001) / 0.321, 12);
  });

  it('names what is no larva, marks form of a D-larva as not judged, and flags an egg that is not round', async () => {
    const staging = await prepareStaging();
    const bubble = judgeStage({ ...larva, kind: 'bubble', isLarva: false, values: {} }, staging);
    expect([bubble.stage, bubble.form]).toEqual(['bubble', undefined]);
    const hinge = judgeStage({ ...larva, values: middleOf(rules, 'd-hinge') }, staging);
    expect([hinge.stage, hinge.form]).toEqual(['d-larva', 'not-judged']);
    const egg = { ...larva, kind: 'egg-or-embryo', values: middleOf(rules, 'egg-unfertilised') } as const;
    expect(judgeStage({ ...egg, feretRatio: 0.7 }, staging)).toMatchObject({ stage: 'egg', notRounded: true });
    expect(judgeStage(egg, staging).notRounded).toBe(false);
  });
});

describe('what is known of a sample', () => {
  const dead = middleOf(rules, 'dead');

  it('rules out dead larvae in a fixed one, with warnings, but not empty shells', async () => {
    const fixed = await prepareStaging({ sample: { kind: 'fixed', fixative: 'formalin' } });
    expect(fixed.probabilities(dead, 80)).not.toHaveProperty('dead');
    expect(fixed.warnings.map(({ code }) => code)).toEqual(['dead-not-judged', 'unbuffered-fixative']);
    const shell = judgeStage({ ...larva, values: middleOf(rules, 'empty-shell') }, fixed);
    expect(shell.stage).toBe('empty-shell');
    const buffered = await prepareStaging({ sample: { kind: 'fixed', fixative: 'formalin', buffered: true } });
    expect(buffered.warnings.map(({ code }) => code)).toEqual(['dead-not-judged']);
    const live = await prepareStaging();
    expect(live.probabilities(dead, 80)).toHaveProperty('dead');
  });

  it('makes eyed larvae unlikely at one day of age, and what the tank last showed likelier', () => {
    const young = stageWeights(oyster, { kind: 'live', ageHours: 24 });
    const any = stageWeights(oyster, { kind: 'live' });
    expect((young.eyed ?? 1) / (any.eyed ?? 1)).toBeCloseTo(0.02, 9);
    expect((young['d-larva'] ?? 0) / (any['d-larva'] ?? 1)).toBe(1);
    const tank = stageWeights(oyster, { kind: 'live' }, { umbo: 50 });
    // (50 + 1) over the mean of all counts and one each
    const stages = oyster.weights.length;
    expect((tank.umbo ?? 0) / (any.umbo ?? 1)).toBeCloseTo(51 / ((50 + stages) / stages), 9);
  });

  it('refuses ages and fixatives that can not be', async () => {
    await expect(prepareStaging({ sample: { kind: 'live', ageHours: -1 } })).rejects.toThrow('ageHours');
    await expect(prepareStaging({ sample: { kind: 'live', fixative: 'formalin' } })).rejects.toThrow('fixative');
  });
});

describe('species presets', () => {
  it('carry a source and its confidence beside every figure', async () => {
    expect(await speciesNames()).toEqual(['eastern-oyster', 'hard-clam', 'pacific-oyster']);
    for (const name of await speciesNames()) {
      const { sizes, ages, weights } = await loadSpecies(name);
      for (const { source, confidence, stage } of [...sizes, ...ages, ...weights]) {
        expect(source, `${name} ${stage}`).not.toBe('');
        expect(['read', 'read, second hand', 'from memory', 'chosen']).toContain(confidence);
        expect(STAGES).toContain(stage);
      }
    }
  });

  it('of the hard clam end in pediveliger, told by size with a warning, never in eyed', async () => {
    const staging = await prepareStaging({ species: 'hard-clam' });
    expect(staging.warnings.map(({ code }) => code)).toEqual(['ready-by-size']);
    const said = staging.probabilities(middleOf(rules, 'eyed'), 215);
    expect(said).not.toHaveProperty('eyed');
    expect(said.pediveliger).toBeGreaterThan(0.5);
    // 150 um is the middle of umbo and below every pediveliger of the preset (170-230)
    const shared = readyBySize({ umbo: 0.5, eyed: 0.4, dead: 0.1 }, clam, 150);
    expect(shared.umbo).toBeGreaterThan(0.8);
    expect((shared.umbo ?? 0) + (shared.pediveliger ?? 0)).toBeCloseTo(0.9, 12);
    expect(readyBySize({ umbo: 0.5, eyed: 0.5 }, clam, null)).toEqual({ umbo: 1 });
  });
});
