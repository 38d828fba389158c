import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { openStore } from '@veligrid/storage';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { run } from '../../apps/cli/src/run.js';
import { photographed } from '../storage/examples.js';
import { newFolder } from '../storage/new-folder.js';
import { startPostgres, withoutPostgres, type PrivatePostgres } from '../support/private-postgres.js';

interface Told {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

async function veligrid(...args: string[]): Promise<Told> {
  let [out, err] = ['', ''];
  const code = await run(args, {
    out: (text) => void (out += text),
    err: (text) => void (err += text),
    errIsTerminal: false,
  });
  return { code, out, err };
}

describe.skipIf(withoutPostgres)('veligrid move', () => {
  let postgres: PrivatePostgres;
  beforeAll(async () => {
    postgres = await startPostgres();
  });
  afterAll(async () => {
    await postgres.remove();
  });

  it('moves a hatchery into a database, after which the file stands for the folder', async () => {
    const data = join(newFolder(), 'hatchery');
    const store = await openStore(data);
    await photographed(store);
    await store.close();
    const to = join(newFolder(), 'veligrid.json');
    writeFileSync(to, JSON.stringify({ database: await postgres.newDatabase(), photos: 'photos', folder: 'own' }));
    const first = await veligrid('move', '--data', data, '--to', to);
    expect(first).toMatchObject({ code: 0, err: 'photos: 1 of 1\n' });
    expect(first.out).toContain('1 photos arrived as they were sent');
    expect((await veligrid('move', '--data', data, '--to', to)).out).toContain('were there already, and are the same');
    const backup = join(newFolder(), 'backup');
    expect(await veligrid('backup', backup, '--data', to)).toMatchObject({ code: 0 });
    expect((await veligrid('rehearse', backup)).out).toContain('samples in it: 1');
    expect(await veligrid('check', '--data', to)).toEqual({ code: 0, out: `${to}: all is well\n`, err: '' });
  });

  it('needs to be told where', async () => {
    const nowhere = join(newFolder(), 'none');
    expect(await veligrid('move', '--data', nowhere, '--to', join(nowhere, 'veligrid.json'))).toMatchObject({
      code: 2,
    });
    expect(await veligrid('worker')).toMatchObject({ code: 2 });
    expect(await veligrid('serve', '--data', nowhere, '--threads', '0')).toMatchObject({ code: 2 });
    expect(await veligrid('serve', '--data', nowhere, '--database-file', 'x.json')).toMatchObject({ code: 2 });
  });
});
