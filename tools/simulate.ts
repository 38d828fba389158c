/**
 * Simulates how often the nominal 95 % limits of a total hold the truth, writes the table into docs/statistics.md and
 * ends with 1 when a requirement is not met.
 *
 *   npm run long:simulate [-- SAMPLES]
 *
 * SAMPLES of each situation, 10000 by default; the draws are the same every time.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { format, resolveConfig } from 'prettier';
import { coverageOf, shortfall, SITUATIONS } from './simulation/coverage.js';
import { coverageTable, withTable } from './simulation/coverage-table.js';
import { seededDraws } from './simulation/draws.js';

const SEED = 20_170_730;
const DOCUMENT = 'docs/statistics.md';
const samples = Number(process.argv[2] ?? 10_000);

if (!Number.isInteger(samples) || samples < 1) {
  process.stderr.write('Name a whole number of samples: npm run long:simulate -- 10000\n');
  process.exitCode = 2;
} else {
  const results = SITUATIONS.map((situation, i) => {
    process.stderr.write(`\r${String(i + 1)} of ${String(SITUATIONS.length)}`);
    return coverageOf(situation, samples, seededDraws(SEED + i));
  });
  process.stderr.write('\n');
  const text = `${String(samples)} samples of each, seed ${String(SEED)}.\n\n${coverageTable(results)}`;
  const document = withTable(readFileSync(DOCUMENT, 'utf8'), text);
  writeFileSync(DOCUMENT, await format(document, { ...(await resolveConfig(DOCUMENT)), parser: 'markdown' }));
  const wrong = results.map(shortfall).filter((words) => words !== null);
  process.stdout.write(wrong.length > 0 ? `${wrong.join('\n')}\n` : 'Every requirement is met\n');
  process.exitCode = wrong.length > 0 ? 1 : 0;
}
