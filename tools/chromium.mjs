import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';

const PLACES = [
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
  '/usr/bin/google-chrome-stable',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
];

/**
 * Where Chromium is: named by VELIGRID_CHROMIUM, in one of the usual places, or what Playwright itself downloaded.
 *
 * @returns {string | undefined} nothing lets Playwright look for its own
 */
export function chromiumPath() {
  const named = process.env['VELIGRID_CHROMIUM'];
  return named ?? PLACES.find((path) => existsSync(path));
}

/**
 * Makes sure that there is a Chromium for the tests of the viewer: as root through apt, elsewhere by Playwright's own
 * download. Does nothing when there is one.
 *
 * @returns {boolean} whether there is one now
 */
export function installChromium() {
  if (chromiumPath() !== undefined) return true;
  console.error('Installing Chromium for the tests of the viewer (once; some minutes) ...');
  const root = process.getuid?.() === 0 && existsSync('/usr/bin/apt-get');
  if (root) {
    const options = ['-y', '--no-install-recommends', '-o', 'DPkg::Lock::Timeout=600'];
    run('apt-get', ['update']);
    run('apt-get', ['install', ...options, 'chromium']);
  } else {
    run(process.execPath, ['node_modules/playwright-core/cli.js', 'install', 'chromium-headless-shell']);
  }
  return root ? chromiumPath() !== undefined : true;
}

/**
 * @param {string} command
 * @param {readonly string[]} args
 */
function run(command, args) {
  spawnSync(command, args, { stdio: 'inherit', env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' } });
}
