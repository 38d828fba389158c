import { spawnSync } from 'node:child_process';
import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';

/** Stands in for npm: notes how it was called, then does as planned. */
const fakeNpm = (plan: string): string => `
const fs = require('node:fs');
fs.appendFileSync('calls.txt', process.argv.slice(2).join(' ') + '\\n');
${plan}
`;

/** Installs one package, a compiler that only says that it ran, and a bundler whose files hold one letter. */
const installs = `
fs.mkdirSync('node_modules/a', { recursive: true });
fs.mkdirSync('node_modules/typescript/bin', { recursive: true });
fs.writeFileSync('node_modules/typescript/bin/tsc', "console.log('compiled');");
fs.mkdirSync('node_modules/vite/bin', { recursive: true });
fs.writeFileSync('node_modules/vite/bin/vite.js', \`
const fs = require('node:fs');
console.log('bundled', ...process.argv.slice(2, 4));
fs.mkdirSync('apps/cli/dist/bundled-new', { recursive: true });
for (const name of ['run.js', 'count-worker.js', 'part-b.js']) fs.writeFileSync('apps/cli/dist/bundled-new/' + name, 'b');
\`);
fs.writeFileSync('node_modules/.package-lock.json', fs.readFileSync('package-lock.json'));
`;

let project = '';
const npm = (): string => join(project, 'npm-cli.js');

beforeEach(() => {
  project = mkdtempSync(join(tmpdir(), 'veligrid-setup-'));
  cpSync(fileURLToPath(new URL('../../tools', import.meta.url)), join(project, 'tools'), { recursive: true });
  writeFileSync(join(project, 'package-lock.json'), '{"packages":{"node_modules/a":{"version":"1.0.0"}}}');
  mkdirSync(join(project, 'apps/cli/dist'), { recursive: true });
  writeFileSync(
    join(project, 'apps/cli/dist/main.js'),
    `console.log('ran', ...process.argv.slice(2)); process.exitCode = 3;`,
  );
});

afterEach(() => {
  rmSync(project, { recursive: true, force: true });
});

function start(): { status: number | null; stdout: string; stderr: string } {
  return spawnSync(process.execPath, [join(project, 'tools/start.mjs')], {
    cwd: tmpdir(),
    encoding: 'utf8',
    env: { ...process.env, npm_execpath: npm() },
  });
}

const calls = (): string[] => readFileSync(join(project, 'calls.txt'), 'utf8').trim().split('\n');

describe('npm start on a bare clone', () => {
  it('installs, compiles, opens the viewer and hands on the exit code', () => {
    writeFileSync(npm(), fakeNpm(installs));
    const { status, stdout } = start();
    expect(stdout).toBe('compiled\nbundled build apps/cli\nran serve --open\n');
    expect(status).toBe(3);
    expect(calls()).toEqual(['ci --include=dev --include=optional --no-audit --no-fund']);
  });

  it('does not install again until a package is deleted or the lockfile changes', () => {
    writeFileSync(npm(), fakeNpm(installs));
    start();
    start();
    expect(calls()).toHaveLength(1);
    rmSync(join(project, 'node_modules/a'), { recursive: true });
    start();
    expect(calls()).toHaveLength(2);
    writeFileSync(join(project, 'package-lock.json'), '{"packages":{"node_modules/a":{"version":"1.0.1"}}}');
    start();
    expect(calls()).toHaveLength(3);
  });

  it('puts the program into few files once, beside those that a running one may still load', () => {
    const place = join(project, 'apps/cli/dist/bundled');
    mkdirSync(place);
    for (const name of ['run.js', 'part-a.js', 'part-old.js']) writeFileSync(join(place, name), 'a');
    const longAgo = Date.now() / 1000 - 8 * 86_400;
    utimesSync(join(place, 'part-old.js'), longAgo, longAgo);
    utimesSync(join(place, 'run.js'), longAgo, longAgo);
    writeFileSync(npm(), fakeNpm(installs));
    expect(start().stdout).toContain('bundled');
    const holds = (name: string): string => readFileSync(join(place, name), 'utf8');
    expect(
      readdirSync(place)
        .sort()
        .map((name) => name + holds(name)),
    ).toEqual(['count-worker.jsb', 'part-a.jsa', 'part-b.jsb', 'run.jsb']);
    expect(start().stdout).not.toContain('bundled');
    expect(existsSync(`${place}-new`)).toBe(false);
  });

  it('ends with the one command to type when npm can not install', () => {
    writeFileSync(npm(), fakeNpm('process.exitCode = 7;'));
    const { status, stdout, stderr } = start();
    expect(status).toBe(1);
    expect(stdout).toBe('');
    expect(stderr).toMatch(/could not be installed.*type:\n\n {4}npm ci\n$/s);
  });

  it('stops with a sentence when the source does not compile', () => {
    writeFileSync(npm(), fakeNpm(installs.replace(`console.log('compiled');`, 'process.exitCode = 2;')));
    const { status, stderr } = start();
    expect(status).toBe(1);
    expect(stderr).toMatch(/The source does not compile; the messages above say where\.\n$/);
  });
});
