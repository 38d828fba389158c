import { pathToFileURL } from 'node:url';
import { runNode } from './run.mjs';

/** Everything that has to hold before a commit, in the order of how soon each says no. */
const steps = [
  { name: 'compile', command: ['node_modules/typescript/bin/tsc', '-b'] },
  { name: 'types of tests', command: ['node_modules/typescript/bin/tsc', '-p', 'tests'] },
  { name: 'types of tests of the viewer', command: ['node_modules/typescript/bin/tsc', '-p', 'tests/viewer'] },
  { name: 'types of tools', command: ['node_modules/typescript/bin/tsc', '-p', 'tools'] },
  { name: 'lint', command: ['node_modules/eslint/bin/eslint.js', '--max-warnings', '0', '.'] },
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
  { name: 'tests', command: ['node_modules/vitest/vitest.mjs', 'run'] },
];

/**
 * Runs every step, also after one has failed, and lists the outcome.
 *
 * @returns {number} exit code
 */
export function check() {
  const outcomes = steps.map(({ name, command }) => {
    console.log(`\n== ${name}`);
    const start = performance.now();
    const passed = runNode(command) === 0;
    return { name, passed, seconds: (performance.now() - start) / 1000 };
  });
  console.log('');
  for (const { name, passed, seconds } of outcomes) {
    console.log(`${passed ? 'passed' : 'FAILED'}  ${name} (${seconds.toFixed(1)} s)`);
  }
  return outcomes.every(({ passed }) => passed) ? 0 : 1;
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) process.exitCode = check();
