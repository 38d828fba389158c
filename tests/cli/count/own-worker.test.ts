import { spawnSync } from 'node:child_process';
import { mkdirSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import sharp from 'sharp';
import { beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { ownWorker } from '../../../apps/cli/src/count/own-worker.js';
import { filesBelow, newFolder } from '../support/shell.js';

const root = fileURLToPath(new URL('../../../', import.meta.url));

describe('ownWorker', () => {
  const place = newFolder();
  const module = pathToFileURL(join(place, 'apps/cli/dist/count/count-worker.js')).href;
  const bundled = pathToFileURL(join(place, 'apps/cli/dist/bundled/count-worker.js')).href;
  const chosen = (): string => ownWorker(new URL('.', module)).href;

  /** Writes a file as if at a second of a day. */
  function written(path: string, second: number): void {
    const file = join(place, path);
    mkdirSync(dirname(file), { recursive: true });
    writeFileSync(file, '');
    utimesSync(file, second, second);
  }

  beforeEach(() => {
    rmSync(place, { recursive: true, force: true });
    for (const room of ['packages/model', 'packages/imaging', 'apps/cli']) written(`${room}/dist/.tsbuildinfo`, 100);
  });

  it('is the one file when that was made last', () => {
    written('apps/cli/dist/bundled/count-worker.js', 101);
    expect(chosen()).toBe(bundled);
  });

  it.each(['packages/model', 'packages/imaging', 'apps/cli'])('is the module when %s was compiled after it', (room) => {
    written('apps/cli/dist/bundled/count-worker.js', 101);
    written(`${room}/dist/.tsbuildinfo`, 102);
    expect(chosen()).toBe(module);
  });

  it('is the module where there is no one file, or the packages lie elsewhere', () => {
    expect(chosen()).toBe(module);
    written('apps/cli/dist/bundled/count-worker.js', 101);
    rmSync(join(place, 'packages'), { recursive: true });
    expect(chosen()).toBe(module);
  });
});

describe('the worker in one file', () => {
  const folder = newFolder();
  const dist = pathToFileURL(join(root, 'apps/cli/dist/count/'));
  const photo = join(folder, 'part.png');

  beforeAll(async () => {
    const whole = sharp(join(root, 'sample-images/drawn/d-hinge_04.jpg'));
    await whole.extract({ left: 200, top: 200, width: 700, height: 600 }).png().toFile(photo);
  });

  /** What a worker writes of the photo, count and overlay, when the compiled command counts by it. */
  function filesBy(worker: URL, name: string): Map<string, Buffer> {
    const out = join(folder, name);
    const script = `
      import { countCommand } from '${new URL('count-command.js', dist).href}';
      import { processConsole } from '${new URL('../console.js', dist).href}';
      const args = ${JSON.stringify({ inputs: [photo], out, overlay: true })};
      process.exitCode = await countCommand(args, processConsole, new URL('${worker.href}'));`;
    writeFileSync(join(folder, `${name}.mjs`), script);
    const { status, stderr } = spawnSync(process.execPath, [join(folder, `${name}.mjs`)], { encoding: 'utf8' });
    expect(stderr).toBe('');
    expect(status).toBe(0);
    return filesBelow(out);
  }

  it('is made by npm run build and writes the same bytes as its modules', () => {
    const oneFile = ownWorker(dist);
    expect(oneFile.pathname).toMatch(/bundled\/count-worker\.js$/);
    const files = filesBy(oneFile, 'one-file');
    expect([...files.keys()]).toEqual(['part.json', 'part.overlay.jpg']);
    expect(files).toEqual(filesBy(new URL('count-worker.js', dist), 'modules'));
  });
});
