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

  it('moves a stage of which there are seven by the size that the others have in common, not by the seven', () => {
    const larvae = population(6, 2, 0.35);
    const others = larvae.filter(({ stage }) => stage !== 'eyed');
    const seven = larvae.filter(({ stage }) => stage === 'eyed').slice(0, 7);
    const eyed = (of: typeof rules): readonly number[] => of.classes.find(({ name }) => name === 'eyed')?.mean ?? [];
    const { rules: learned, touched } = learnRules(rules, audited([...others, ...seven]), { version: '1.1' });
    expect(touched.find(({ stage }) => stage === 'eyed')?.used).toBe(false);
    expect(eyed(learned)).toEqual(eyed(learnRules(rules, audited(others), { version: '1.1' }).rules));
    const [length, ...rest] = eyed(learned);
    expect(rest).toEqual(eyed(rules).slice(1));
    // two classes of deviation 0.15 with 120 larvae each: 0.35 of 2 x 43.1 against 100 for no move
    expect((length ?? 0) - (eyed(rules)[0] ?? 0)).toBeCloseTo((0.35 * 86.2) / 186.2, 1);
  });

  it('lets one stage that is larger move the others by less than a third of it', () => {
    const larger = population(6, 2, 0.3).filter(({ stage }) => stage === 'umbo');
    const { rules: learned } = learnRules(rules, audited(larger), { version: '1.1' });
    const move = (stage: string): number => {
      const [before, after] = [rules, learned].map((of) => of.classes.find(({ name }) => name === stage)?.mean[0]);
      return (after ?? 0) - (before ?? 0);
    };
    expect(move('umbo')).toBeGreaterThan(0.2);
    expect(move('d-larva')).toBeLessThan(0.1);
    expect(move('d-larva')).toBeGreaterThan(0.05);
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
