import { appendFileSync, readdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { Console } from '../../apps/cli/src/console.js';
import { run } from '../../apps/cli/src/run.js';
import { everyRow } from '../storage/every-row.js';
import { newFolder } from '../storage/new-folder.js';
import { fullStore } from '../storage/full-store.js';

/** Runs the command and gives its exit code with all it said. */
async function veligrid(...args: string[]): Promise<{ code: number; said: string }> {
  let said = '';
  const say = (text: string): void => {
    said += text;
  };
  const console: Console = { out: say, err: say, errIsTerminal: false };
  return { code: await run(args, console), said };
}

describe('the commands of the store', () => {
  it('back up and restore', async () => {
    const data = await fullStore();
    const [backup, back] = [join(newFolder(), 'backup'), join(newFolder(), 'back')];
    expect(await veligrid('backup', backup, '--data', data)).toMatchObject({ code: 0 });
    const { code, said } = await veligrid('restore', backup, '--data', back);
    expect([code, said]).toEqual([0, `${backup} is restored to ${back}\n${back}: all is well\n`]);
    expect(everyRow(back)).toEqual(everyRow(data));
  });

  it('keep the last backups only', async () => {
    const data = await fullStore();
    const folder = newFolder();
    for (let i = 0; i < 2; i += 1) {
      const { code, said } = await veligrid('backup', folder, '--keep', '1', '--data', data);
      expect([code, said]).toEqual([0, expect.stringMatching(/: \S+veligrid-\d{4}-\d\d-\d\dT\d{6}Z\n$/)]);
      // names tell seconds
      await new Promise((resolve) => setTimeout(resolve, 1001));
    }
    expect(readdirSync(folder)).toHaveLength(1);
    expect((await veligrid('backup', folder, '--keep', '0', '--data', data)).code).toBe(2);
  });

  it('rehearse a restore', async () => {
    const data = await fullStore();
    const [backup, within] = [join(newFolder(), 'backup'), newFolder()];
    await veligrid('backup', backup, '--data', data);
    const { code, said } = await veligrid('rehearse', backup, '--within', within);
    expect([code, said]).toEqual([
      0,
      expect.stringMatching(/removed again; samples in it: [1-9]\d*\n.*: all is well\n$/),
    ]);
    expect(readdirSync(within)).toEqual([]);
    expect((await veligrid('rehearse', newFolder(), '--within', within)).said).toContain('holds no whole backup');
    expect(readdirSync(within)).toEqual([]);
  });

  it('export, wipe and import the same', async () => {
    const data = await fullStore();
    const before = everyRow(data);
    const out = join(newFolder(), 'export');
    expect(await veligrid('export', out, '--data', data, '--with-passwords')).toMatchObject({ code: 0 });
    rmSync(data, { recursive: true });
    expect(await veligrid('import', out, '--data', data)).toMatchObject({ code: 0 });
    expect(everyRow(data)).toEqual(before);
  });

  it('tell what a check finds, with exit code 4', async () => {
    const data = await fullStore();
    expect(await veligrid('check', '--data', data)).toEqual({
      code: 0,
      said: expect.stringMatching(
        /: all is well\nRoom: database [\d.]+ MB, photos [\d.]+ MB, cache 0 MB; free on this disk [\d.,]+ MB\n$/,
      ) as string,
    });
    const pictures = join(data, 'pictures');
    const name = readdirSync(pictures, { recursive: true, encoding: 'utf8' }).find((one) => /\w{64}$/.test(one));
    appendFileSync(join(pictures, name ?? ''), '!');
    const { code, said } = await veligrid('check', '--data', data);
    expect(code).toBe(4);
    expect(said).toMatch(/^photo-changed: The picture .* is not what was kept\. Bring it back from a backup\.\nRoom: /);
  });

  it('make no store where there is none', async () => {
    const folder = newFolder();
    for (const args of [['check'], ['backup', join(folder, 'b')], ['export', join(folder, 'e')]]) {
      const { code, said } = await veligrid(...args, '--data', folder);
      expect([code, said]).toEqual([2, expect.stringContaining(`There is no store in ${folder}`)]);
    }
    expect(readdirSync(folder)).toEqual([]);
  });
});
