import { existsSync, readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { buildProgram } from './build-program.mjs';
import { buildViewer } from './build-viewer.mjs';
import { missingPackages } from './missing-packages.mjs';
import { nodeRefusal } from './node-version.mjs';
import { root, runNode } from './run.mjs';

/** A failure that ends a script with one sentence instead of a stack. */
class SetupError extends Error {}

/**
 * Makes the project ready to run: checks Node, installs packages where they are missing or stale, compiles. Needs
 * nothing but Node and npm, and changes nothing when all is in order.
 */
export function setUp() {
  const refusal = nodeRefusal(process.versions.node);
  if (refusal) throw new SetupError(refusal);
  if (isStale()) install();
  if (runNode(['node_modules/typescript/bin/tsc', '-b']) !== 0) {
    throw new SetupError('The source does not compile; the messages above say where.');
  }
  if (buildProgram() !== 0) throw new SetupError('The program could not be built; the messages above say why.');
  if (buildViewer() !== 0) throw new SetupError('The viewer could not be built; the messages above say why.');
}

/**
 * Runs a script's work and turns what it returns or throws into the exit code of the process.
 *
 * @param {() => number | Promise<number>} work gives the exit code
 */
export async function runScript(work) {
  try {
    process.exitCode = await work();
  } catch (error) {
    if (!(error instanceof SetupError)) throw error;
    console.error(`\n${error.message}`);
    process.exitCode = 1;
  }
}

/** @returns {boolean} */
function isStale() {
  const installed = join(root, 'node_modules/.package-lock.json');
  if (!existsSync(installed)) return true;
  const wanted = readJson(join(root, 'package-lock.json'));
  return missingPackages(wanted, readJson(installed), (path) => existsSync(join(root, path))).length > 0;
}

function install() {
  console.error('Installing packages (once; about half a minute) ...');
  const status = runNode([npmPath(), 'ci', '--include=dev', '--include=optional', '--no-audit', '--no-fund']);
  if (status !== 0) {
    throw new SetupError(
      'The packages could not be installed; npm says why above. It needs to reach the npm registry. When it can, type:\n\n    npm ci',
    );
  }
}

/**
 * The npm that runs this script, else the one that came with this Node.
 *
 * @returns {string}
 */
function npmPath() {
  const running = process.env['npm_execpath'];
  if (running && basename(running) === 'npm-cli.js') return running;
  const prefix = join(process.execPath, process.platform === 'win32' ? '..' : '../..');
  const beside = join(prefix, process.platform === 'win32' ? '' : 'lib', 'node_modules/npm/bin/npm-cli.js');
  if (existsSync(beside)) return beside;
  throw new SetupError('npm was not found beside this Node. Where it is installed, type:\n\n    npm ci');
}

/** @param {string} path */
function readJson(path) {
  return JSON.parse(readFileSync(path, 'utf8'));
}
