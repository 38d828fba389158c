/**
 * Trains the starting stage rules on slides with truth and writes packages/imaging/rules/starting.json.
 *
 *   npm run long:train-stages -- VERSION COUNTS SLIDES...
 *
 * SLIDES are folders that packages/imaging/training/drawer/render.py drew (never its default seed, which is for measuring),
 * named by their seed; one at least drawn with --overlap, so that straight-hinge and umbo larvae overlap in size as in life.
 * Counts made with the true scale are kept in COUNTS and used again.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { basename } from 'node:path';
import { FEATURES, fitRules, rulesJson, type Labelled } from '@veligrid/imaging';
import { larvaeOf, slidesIn } from './staged-slides.js';

/** The finder whose opinions are learned from. */
const FINDER = 'packages/imaging/models/finder.json';
const TARGET = 'packages/imaging/rules/starting.json';
/** Unlikely finds are learned from too: among them are the false ones. */
const LEAST_SCORE = 0.2;

const [version, counts, ...folders] = process.argv.slice(2);
if (version === undefined || counts === undefined || folders.length === 0) {
  process.stderr.write('npm run long:train-stages -- VERSION COUNTS SLIDES...\n');
  process.exitCode = 2;
} else {
  const larvae: Labelled[] = [];
  for (const folder of folders) {
    for (const slide of slidesIn(folder))
      larvae.push(...(await larvaeOf(folder, slide, { counts, leastScore: LEAST_SCORE })));
    process.stderr.write(`${basename(folder)}: ${String(larvae.length)} larvae so far\n`);
  }
  const rules = fitRules(
    larvae,
    FEATURES.map(({ name }) => name),
    {
      version,
      parent: null,
      finderVersion: (JSON.parse(readFileSync(FINDER, 'utf8')) as { version: string }).version,
      species: 'eastern-oyster',
      what: `Slides drawn by computer (packages/imaging/training/drawer), seeds ${folders.map((one) => basename(one)).join(', ')}; npm run long:train-stages`,
    },
  );
  writeFileSync(TARGET, rulesJson(rules));
  process.stderr.write(`${TARGET}: ${String(larvae.length)} larvae, shrinkage ${rules.shrinkage.toFixed(4)}\n`);
}
