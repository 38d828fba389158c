import { spawnSync } from 'node:child_process';
import { mkdirSync, readdirSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import sharp from 'sharp';
import { beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { built } from '../../apps/cli/src/built.js';
import { ROOMS as BUNDLED_ROOMS } from '../../tools/build-program.mjs';
import { filesBelow, newFolder } from './support/shell.js';

const root = fileURLToPath(new URL('../../', import.meta.url));

const ROOMS = readdirSync(join(root, 'packages'))
  .map((name) => `packages/${name}`)
  .concat('apps/server', 'apps/cli');

describe('built', () => {
  const place = newFolder();
  const home = pathToFileURL(join(place, 'apps/cli/dist/'));
  const compiled = new URL('count/count-worker.js', home).href;
  const bundled = new URL('bundled/count-worker.js', home).href;
  const chosen = (): string => built('count/count-worker.js', home).href;

  /** Writes a file as if at a second of a day. */
  function written(path: string, second: number): void {
    const file = join(place, path);
    mkdirSync(dirname(file), { recursive: true });
    writeFileSync(file, '');
    utimesSync(file, second, second);
  }

  beforeEach(() => {
    rmSync(place, { recursive: true, force: true });
    written('node_modules/.package-lock.json', 100);
    for (const room of ROOMS) written(`${room}/dist/.tsbuildinfo`, 100);
  });

  it('is of the few files when they were made last', () => {
    written('apps/cli/dist/bundled/count-worker.js', 101);
    expect(chosen()).toBe(bundled);
  });

  it.each(ROOMS)('is the compiled module when %s was compiled later', (room) => {
    written('apps/cli/dist/bundled/count-worker.js', 101);
    written(`${room}/dist/.tsbuildinfo`, 102);
    expect(chosen()).toBe(compiled);
  });

  it('is the compiled module when libraries were installed later', () => {
    written('apps/cli/dist/bundled/count-worker.js', 101);
    written('node_modules/.package-lock.json', 102);
    expect(chosen()).toBe(compiled);
  });

  it('rests on the same packages as the tool that makes the few files', () => {
    expect([...BUNDLED_ROOMS].sort()).toEqual([...ROOMS].sort());
  });

  it('is the compiled module where there are no few files, or the packages lie elsewhere', () => {
    expect(chosen()).toBe(compiled);
    written('apps/cli/dist/bundled/count-worker.js', 101);
    rmSync(join(place, 'packages'), { recursive: true });
    expect(chosen()).toBe(compiled);
  });
});

describe('the counting thread in few files', () => {
  const folder = newFolder();
  const dist = pathToFileURL(join(root, 'apps/cli/dist/'));
  const photo = join(folder, 'part.png');

  beforeAll(async () => {
    const whole = sharp(join(root, 'sample-images/drawn/d-hinge_04.jpg'));
    await whole.extract({ left: 200, top: 200, width: 700, height: 600 }).png().toFile(photo);
  });

  /** What a worker writes of the photo, count and overlay, when the compiled command counts by it. */
  function filesBy(worker: URL, name: string): Map<string, Buffer> {
    const out = join(folder, name);
    const script = `
      import { countCommand } from '${new URL('count/count-command.js', dist).href}';
      import { processConsole } from '${new URL('console.js', dist).href}';
      const args = ${JSON.stringify({ inputs: [photo], out, overlay: true })};
      process.exitCode = await countCommand(args, processConsole, new URL('${worker.href}'));`;
    writeFileSync(join(folder, `${name}.mjs`), script);
    const { status, stderr } = spawnSync(process.execPath, [join(folder, `${name}.mjs`)], { encoding: 'utf8' });
    expect(stderr).toBe('');
    expect(status).toBe(0);
    return filesBelow(out);
  }

  it('is made by npm run build and writes the same bytes as its modules', () => {
    const fewFiles = built('count/count-worker.js', dist);
    expect(fewFiles.pathname).toMatch(/bundled\/count-worker\.js$/);
    const files = filesBy(fewFiles, 'few-files');
    expect([...files.keys()]).toEqual(['part.json', 'part.overlay.jpg']);
    expect(files).toEqual(filesBy(new URL('count/count-worker.js', dist), 'modules'));
  });
});
