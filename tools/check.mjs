import { pathToFileURL } from 'node:url';
import { collectNode, runNode } from './run.mjs';

/** @typedef {{ name: string, command: readonly string[] }} Step */
/** @typedef {{ name: string, passed: boolean, seconds: number }} Outcome */

/** Before all others: they read what it made. */
const compile = { name: 'compile', command: ['node_modules/typescript/bin/tsc', '-b'] };

/** After it: tests and what they start run from its files. */
const bundle = { name: 'few files', command: ['tools/build-program.mjs'] };

/**
 * What reads the source alone, the slowest first.
 *
 * @type {readonly Step[]}
 */
const checks = [
  { name: 'lint', command: ['node_modules/eslint/bin/eslint.js', '--max-warnings', '0', '.'] },
  { name: 'types of tests', command: ['node_modules/typescript/bin/tsc', '-p', 'tests'] },
  { name: 'types of tests of the viewer', command: ['node_modules/typescript/bin/tsc', '-p', 'tests/viewer'] },
  { name: 'types of tools', command: ['node_modules/typescript/bin/tsc', '-p', 'tools'] },
  { name: 'format', command: ['node_modules/prettier/bin/prettier.cjs', '--check', '--log-level', 'warn', '.'] },
  {
    name: 'imports',
    command: [
      'node_modules/dependency-cruiser/bin/dependency-cruise.mjs',
      'packages/*/src',
      'apps/*/src',
      'tests',
      'tools',
    ],
  },
  { name: 'unused code', command: ['node_modules/knip/bin/knip.js'] },
  {
    name: 'what only tests use',
    command: ['node_modules/knip/bin/knip.js', '--production', '--include', 'files,dependencies'],
  },
];

/** Runs alone: its browsers and servers want the machine for themselves. */
const tests = { name: 'tests', command: ['node_modules/vitest/vitest.mjs', 'run'] };

/** Checks at a time. */
const AT_ONCE = 2;

/**
 * Runs a step whose output is shown whole when it has ended, so that steps side by side don't mix theirs.
 *
 * @param {Step} step
 * @returns {Promise<Outcome>}
 */
async function runQuietly({ name, command }) {
  const start = performance.now();
  const { status, output } = await collectNode(command);
  console.log(`\n== ${name}\n${output}`);
  return { name, passed: status === 0, seconds: (performance.now() - start) / 1000 };
}

/**
 * Runs every step, also after one has failed, and lists the outcome.
 *
 * @returns {Promise<number>} exit code
 */
export async function check() {
  const outcomes = [await runQuietly(compile), await runQuietly(bundle)];
  const left = [...checks];
  const lane = async () => {
    for (let step = left.shift(); step !== undefined; step = left.shift()) outcomes.push(await runQuietly(step));
  };
  await Promise.all(Array.from({ length: AT_ONCE }, lane));
  console.log(`\n== ${tests.name}`);
  const start = performance.now();
  const passed = runNode(tests.command) === 0;
  outcomes.push({ name: tests.name, passed, seconds: (performance.now() - start) / 1000 });
  console.log('');
  for (const { name, passed, seconds } of outcomes) {
    console.log(`${passed ? 'passed' : 'FAILED'}  ${name} (${seconds.toFixed(1)} s)`);
  }
  return outcomes.every(({ passed }) => passed) ? 0 : 1;
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) process.exitCode = await check();
