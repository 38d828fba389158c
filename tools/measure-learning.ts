/**
 * How well learning follows a population of another size: slides are counted with a scale a fifth too large, so that every larva
 * looks 20 % longer; 300 larvae of 6 slides are audited; the other slides tell the error before and after.
 *
 *   npm run long:measure-learning -- SLIDES COUNTS
 *
 * SLIDES is a folder of drawn slides with truth that the rules were not trained on; counts are kept in COUNTS.
 */
import { join } from 'node:path';
import { learnRules, loadStartingRules, type Labelled, type LabelledCheck, type StageRules } from '@veligrid/imaging';
import { STAGES } from '@veligrid/model';
import { judgeBy, likeliestStage } from '../packages/imaging/src/stage/rules/judge.js';
import { seededRandom } from '../tests/support/seeded-random.js';
import { larvaeOf, slidesIn } from './staged-slides.js';

const SUITES = ['eggs', 'early', 'd-hinge', 'umbo', 'eyed', 'mixed'];
const LARVAE = 300;
const FACTOR = 1.2;
const DRAWS = 6;

const errorOf = (rules: StageRules, larvae: readonly Labelled[]): number => {
  const judge = judgeBy(rules);
  const wrong = larvae.filter(({ stage, values }) => likeliestStage(judge.probabilities(values)).stage !== stage);
  return (100 * wrong.length) / larvae.length;
};

function shuffled<T>(items: readonly T[], random: () => number): T[] {
  return items
    .map((item) => ({ item, key: random() }))
    .sort((a, b) => a.key - b.key)
    .map(({ item }) => item);
}

/** One slide of each suite, and up to 300 larvae of them, drawn at random. */
function audit(bySlide: ReadonlyMap<string, Labelled[]>, random: () => number): LabelledCheck[] {
  const chosen = SUITES.flatMap((suite) => {
    const own = [...bySlide.keys()].filter(
      (slide) => slide.includes(`${suite}_`) && (bySlide.get(slide)?.length ?? 0) >= 20,
    );
    return shuffled(own, random).slice(0, 1);
  });
  const larvae = chosen.flatMap((slide) => bySlide.get(slide) ?? []);
  return shuffled(larvae, random)
    .slice(0, LARVAE)
    .map((one) => ({ ...one, how: 'audit' as const }));
}

const [folder, counts] = process.argv.slice(2);
if (folder === undefined || counts === undefined) {
  process.stderr.write('npm run long:measure-learning -- SLIDES COUNTS\n');
  process.exitCode = 2;
} else {
  const old = await loadStartingRules();
  const same: Labelled[] = [];
  const larger = new Map<string, Labelled[]>();
  for (const slide of slidesIn(folder).filter((name) => SUITES.some((suite) => name.includes(`${suite}_`)))) {
    same.push(...(await larvaeOf(folder, slide, { counts: join(counts, 'same') })));
    larger.set(slide, await larvaeOf(folder, slide, { counts: join(counts, 'larger'), scaleFactor: FACTOR }));
  }
  process.stdout.write(`Error on the unchanged population ${errorOf(old, same).toFixed(2)} %\n`);
  for (let draw = 1; draw <= DRAWS; draw++) {
    const random = seededRandom(draw);
    const checks = audit(larger, random);
    const learnedOn = new Set(checks.map(({ slide }) => slide.slice(slide.indexOf('/') + 1)));
    const others = [...larger].filter(([slide]) => !learnedOn.has(slide)).flatMap(([, own]) => own);
    const learned = learnRules(old, checks, { version: 'learned' });
    const stages = STAGES.filter((stage) => checks.some((one) => one.stage === stage));
    const mixed = checks.map((one) => ({ ...one, stage: stages[Math.floor(random() * stages.length)] ?? one.stage }));
    const byChance = learnRules(old, mixed, { version: 'by-chance' });
    process.stdout.write(
      `Draw ${String(draw)}: ${String(checks.length)} corrections on ${String(learnedOn.size)} slides; error on ${String(others.length)} others ${errorOf(old, others).toFixed(2)} % before, ${errorOf(learned.rules, others).toFixed(2)} % after; gate ${learned.gate.accepted ? 'accepts' : `refuses: ${learned.gate.reasons.join('; ')}`}; random labels ${byChance.gate.accepted ? 'ACCEPTED' : 'refused'}\n`,
    );
  }
}
