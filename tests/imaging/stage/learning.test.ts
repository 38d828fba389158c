import { describe, expect, it } from 'vitest';
import { driftWatch } from '../../../packages/imaging/src/stage/learn/drift.js';
import { learnRules, type LabelledCheck } from '../../../packages/imaging/src/stage/learn/learn-rules.js';
import { fitRules } from '../../../packages/imaging/src/stage/rules/fit-rules.js';
import type { Labelled } from '../../../packages/imaging/src/stage/rules/fit-discriminant.js';
import { normalFrom, seededRandom } from '../../support/seeded-random.js';

const MEANS = { 'd-larva': 4.3, umbo: 5, eyed: 5.7 } as const;
const STAGES = ['d-larva', 'umbo', 'eyed'] as const;

/** Larvae told apart by length (deviation 15 %) and by how they look; `growth` is added to ln length. */
function population(slides: number, seed: number, growth = 0): Labelled[] {
  const normal = normalFrom(seededRandom(seed));
  return Array.from({ length: slides }, (_, slide) =>
    Array.from({ length: 60 }, (__, k): Labelled => {
      const stage = STAGES[k % 3] ?? 'umbo';
      const values = {
        ln_length: MEANS[stage] + growth + 0.15 * normal(),
        eye_contrast: (stage === 'eyed' ? 0.5 : 0) + 0.4 * normal(),
        rise_flat: (stage === 'd-larva' ? 0 : 0.1) + 0.1 * normal(),
      };
      return { name: stage, stage, slide: `slide ${String(slide)}`, values };
    }),
  ).flat();
}

const rules = fitRules(population(10, 1), ['ln_length', 'eye_contrast', 'rise_flat'], {
  version: '1',
  parent: null,
  finderVersion: 'none',
  species: 'eastern-oyster',
  what: 'made up for this test',
});
const audited = (larvae: readonly Labelled[]): LabelledCheck[] => larvae.map((one) => ({ ...one, how: 'audit' }));

describe('learning from checked larvae', () => {
  it('follows a population that is longer by 35 %, and says what it learned from', () => {
    const {
      rules: learned,
      gate,
      audited: shown,
      touched,
    } = learnRules(rules, audited(population(6, 2, 0.35)), { version: '1.1' });
    expect(gate).toEqual({ accepted: true, weak: false, reasons: [] });
    expect(shown?.larvae).toBe(360);
    expect(shown?.agreementAfter.accuracy).toBeGreaterThan(shown?.agreementBefore.accuracy ?? 1);
    expect([learned.version, learned.parent]).toEqual(['1.1', '1']);
    expect(touched.map(({ stage, larvae, slides, used }) => [stage, larvae, slides, used])).toEqual(
      STAGES.map((stage) => [stage, 120, 6, true]),
    );
  });

  it('refuses random labels', () => {
    const random = seededRandom(5);
    const checks = audited(population(6, 3)).map((one) => ({
      ...one,
      stage: STAGES[Math.floor(3 * random())] ?? 'umbo',
    }));
    const { gate } = learnRules(rules, checks, { version: '1.1' });
    expect(gate.accepted).toBe(false);
    expect(gate.reasons.join()).toContain('hardly more than by chance');
  });

  it('refuses audits of four slides, and lines that are no audit', () => {
    const few = learnRules(rules, audited(population(4, 2, 0.35)), { version: '1.1' });
    expect(few.gate.reasons).toEqual([
      'audit lines on 5 slides are needed, there are 4: the corrections are kept, not used',
    ]);
    const chosen = population(6, 2, 0.35).map((one): LabelledCheck => ({ ...one, how: 'chosen' }));
    expect(learnRules(rules, chosen, { version: '1.1' }).gate.accepted).toBe(false);
  });

  it('leaves a stage alone of which there are seven', () => {
    const larvae = population(6, 2, 0.35);
    const checks = audited([
      ...larvae.filter(({ stage }) => stage !== 'eyed'),
      ...larvae.filter(({ stage }) => stage === 'eyed').slice(0, 7),
    ]);
    const { rules: learned, touched } = learnRules(rules, checks, { version: '1.1' });
    const eyed = (of: typeof rules): readonly number[] | undefined =>
      of.classes.find(({ name }) => name === 'eyed')?.mean;
    expect(eyed(learned)).toEqual(eyed(rules));
    expect(touched.find(({ stage }) => stage === 'eyed')?.used).toBe(false);
  });
});

describe('drift watch', () => {
  const usual = Array.from({ length: 20 }, () => ({ checked: 150, corrected: 9 }));

  it('keeps quiet on the usual, and without history', () => {
    expect(driftWatch([...usual, { checked: 150, corrected: 11 }])?.alarm).toBe('none');
    expect(driftWatch([{ checked: 50, corrected: 3 }])).toBeNull();
  });

  it('tells a sudden rise', () => {
    // three standard deviations above 6 % of 150 are 17.7 corrections (SciPy); 22 are far beyond
    const answer = driftWatch([...usual, { checked: 150, corrected: 22 }]);
    expect(answer?.alarm).toBe('sudden');
    expect(answer?.message).toContain('22 of 150 corrected (14.7 %), usually 6.0 %');
  });

  it('tells a creeping one that no single slide shows', () => {
    // each ten of 14 in 150 lies some 1.6 deviations above the rest: alone no alarm, in a row they add up
    const rising = [...usual, ...usual, ...Array.from({ length: 10 }, () => ({ checked: 150, corrected: 14 }))];
    expect(driftWatch(rising)?.alarm).toBe('creeping');
  });
});
