import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { join } from 'node:path';
import { expect, it } from 'vitest';

const root = fileURLToPath(new URL('../../', import.meta.url));
const readme = readFileSync(join(root, 'packages/imaging/README.md'), 'utf8');

it('the example of the package prints what its README says', () => {
  const example = /```ts\n([^]*?)```/.exec(readme)?.[1] ?? '';
  const said = /It prints `([^`]+)`/.exec(readme)?.[1];
  // inside the project, so that it finds the package as a user of it would
  const folder = mkdtempSync(join(root, 'node_modules', '.example-'));
  try {
    writeFileSync(join(folder, 'example.mts'), example);
    const run = spawnSync(process.execPath, ['--import', 'tsx', '--conditions=source', join(folder, 'example.mts')], {
      cwd: root,
      encoding: 'utf8',
    });
    expect(run.stderr).toBe('');
    expect(run.stdout.trim()).toBe(said);
  } finally {
    rmSync(folder, { recursive: true });
  }
}, 60_000);
