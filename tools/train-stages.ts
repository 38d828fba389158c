/**
 * Trains the starting stage rules on slides with truth and writes packages/imaging/rules/starting.json.
 *
 *   npm run long:train-stages -- VERSION COUNTS SLIDES...
 *
 * SLIDES are folders that packages/imaging/training/drawer/render.py drew (never its default seed, which is for measuring);
 * their names are kept as the seeds. Counts made with the true scale are kept in COUNTS and used again.
 */
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { countPhoto } from '@veligrid/imaging';
import { COUNTED_KINDS, type PhotoCount, type Stage } from '@veligrid/model';
import { matchPhoto } from '../apps/cli/src/score/match.js';
import { readPrediction } from '../apps/cli/src/score/read-prediction.js';
import { readTruth } from '../apps/cli/src/score/read-truth.js';
import { FEATURES } from '../packages/imaging/src/stage/feature-list.js';
import type { Labelled } from '../packages/imaging/src/stage/rules/fit-discriminant.js';
import { fitRules } from '../packages/imaging/src/stage/rules/fit-rules.js';
import { rulesJson } from '../packages/imaging/src/stage/rules/rules-json.js';

const TARGET = 'packages/imaging/rules/starting.json';

/** Finds less likely than this are not learned from. */
const LEAST_SCORE = 0.2;

/** Stage of each class of the slide drawer. */
const STAGE_OF: Readonly<Record<string, Stage>> = {
  egg_unfertilised: 'egg',
  egg_fertilised: 'fertilised-egg',
  two_cell: 'two-cell',
  four_cell: 'four-cell',
  morula: 'morula',
  blastula: 'blastula',
  gastrula: 'gastrula',
  trochophore: 'trochophore',
  d_hinge: 'd-larva',
  early_umbo: 'umbo',
  umbo: 'umbo',
  eyed: 'eyed',
  empty_shell: 'empty-shell',
  dead: 'dead',
};

async function countOf(photo: string, umPerPx: number, kept: string): Promise<PhotoCount> {
  if (existsSync(kept)) return JSON.parse(readFileSync(kept, 'utf8')) as PhotoCount;
  const [count] = await countPhoto(photo, { scaleUmPerPx: umPerPx });
  if (count === undefined) throw new Error(`${photo} gave no count`);
  mkdirSync(dirname(kept), { recursive: true });
  writeFileSync(kept, JSON.stringify(count));
  return count;
}

/** A count in which every find that looks like a larva counts, unlikely ones too: among them are the false ones to learn from. */
function withUnlikely(count: PhotoCount): PhotoCount {
  const detections = count.detections.map((one) => ({
    ...one,
    stage: 'unsure' as const,
    counted:
      COUNTED_KINDS.includes(one.kind) &&
      !one.flags.includes('cut') &&
      (one.features['finder_score'] ?? 0) >= LEAST_SCORE,
  }));
  return { ...count, detections };
}

async function larvaeOf(folder: string, slide: string, kept: string): Promise<Labelled[]> {
  const truth = readTruth(JSON.parse(readFileSync(join(folder, slide.replace(/\.jpg$/, '.json')), 'utf8')));
  if (truth?.umPerPx == null) throw new Error(`${slide} has no truth with a scale`);
  const count = await countOf(join(folder, slide), truth.umPerPx, kept);
  const prediction = readPrediction(withUnlikely(count));
  if (prediction === null) throw new Error(`${kept} is no count file`);
  const features = new Map(count.detections.map((one) => [one.id, one.features]));
  const { pairs, falseFinds } = matchPhoto(truth, prediction);
  const own = { slide: `${basename(folder)}/${slide}` };
  return [
    ...pairs.map(({ truth: object, found }) => ({
      ...own,
      name: object.stage.replaceAll('_', '-'),
      stage: STAGE_OF[object.stage] ?? 'unsure',
      values: features.get(found.id) ?? {},
    })),
    ...falseFinds.map(({ id }) => ({ ...own, name: 'false-find', stage: 'debris' as const, values: features.get(id) ?? {} })),
  ];
}

const [version, counts, ...folders] = process.argv.slice(2);
if (version === undefined || counts === undefined || folders.length === 0) {
  process.stderr.write('npm run long:train-stages -- VERSION COUNTS SLIDES...\n');
  process.exitCode = 2;
} else {
  const larvae: Labelled[] = [];
  for (const folder of folders) {
    const names = readdirSync(folder, { recursive: true }).map(String);
    for (const slide of names.filter((name) => name.endsWith('.jpg')).sort()) {
      const kept = join(counts, basename(folder), slide.replace(/\.jpg$/, '.json'));
      larvae.push(...(await larvaeOf(folder, slide, kept)));
      process.stderr.write(`\r${basename(folder)}/${slide}: ${String(larvae.length)} larvae   `);
    }
  }
  const rules = fitRules(larvae, FEATURES.map(({ name }) => name), {
    version,
    parent: null,
    finderVersion: '1',
    species: 'eastern-oyster',
    what: `Slides drawn by computer (packages/imaging/training/drawer), seeds ${folders.map((one) => basename(one)).join(', ')}; npm run long:train-stages`,
  });
  writeFileSync(TARGET, rulesJson(rules));
  process.stderr.write(`\n${TARGET}: ${String(larvae.length)} larvae, shrinkage ${rules.shrinkage.toFixed(4)}\n`);
}
