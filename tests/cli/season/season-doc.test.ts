import { cpSync, readFileSync, symlinkSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { openStore } from '@veligrid/storage';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { newFolder } from '../../storage/new-folder.js';
import { everyRow } from '../../storage/every-row.js';
import { veligrid, type Said } from './bench.js';

const ROOT = fileURLToPath(new URL('../../..', import.meta.url));
const DOC = readFileSync(join(ROOT, 'docs/season.md'), 'utf8');

/** A block of commands with the lines that its answers have to hold. */
interface Block {
  readonly commands: readonly string[];
  readonly expected: readonly string[];
}

/** Blocks of the document: one without a language holds commands, one called `text` what they answer. */
function blocksOf(doc: string): Block[] {
  const blocks: Block[] = [];
  for (const [, language = '', body = ''] of doc.matchAll(/^```(\w*)\n([\s\S]*?)^```$/gm)) {
    const lines = body.trim().split('\n');
    const last = blocks.at(-1);
    if (language === '') blocks.push({ commands: lines, expected: [] });
    else if (language === 'text' && last !== undefined) blocks[blocks.length - 1] = { ...last, expected: lines };
  }
  return blocks;
}

/** Words of a command as a shell reads them: quotes keep blanks. */
const wordsOf = (command: string): string[] =>
  [...command.matchAll(/"([^"]*)"|(\S+)/g)].map(([, quoted, plain]) => quoted ?? plain ?? '');

const blocks = blocksOf(DOC);
const answers = new Map<string, Said>();
let folder = '';
const before = process.cwd();

// every command in the order of the document, in one folder that has the project's slides and demo beside it
beforeAll(async () => {
  folder = newFolder();
  for (const name of ['sample-images', 'apps']) symlinkSync(join(ROOT, name), join(folder, name));
  process.chdir(folder);
  for (const command of blocks.flatMap(({ commands }) => commands)) {
    const [program, ...args] = wordsOf(command);
    expect(program).toBe('veligrid');
    answers.set(command, await veligrid(...args));
  }
}, 300_000);
afterAll(() => {
  process.chdir(before);
});

describe('docs/season.md', () => {
  it('has commands for every kind of thing that is recorded', () => {
    const commands = [...answers.keys()].map((one) => wordsOf(one).slice(1, 3).join(' '));
    for (const needed of [
      'broodstock add',
      'spawn result',
      'spawn cross',
      'batch add',
      'tank stock',
      'sample photos',
      'sample confirm',
    ]) {
      expect(commands).toContain(needed);
    }
    expect(answers.size).toBeGreaterThan(30);
  });

  it.each(blocks.map((block) => [block.commands.at(-1) ?? '', block] as const))('%s', (_, { commands, expected }) => {
    for (const command of commands) {
      const { code, err } = answers.get(command) ?? { code: -1, err: '' };
      // the dry run shows what is refused
      expect([command, code, err]).toEqual([command, command.includes('--dry-run') ? 2 : 0, '']);
    }
    const said = commands.map((command) => answers.get(command)?.out ?? '').join('');
    for (const line of expected) expect(said).toContain(line);
  });

  it('leaves records in which all is well', async () => {
    for (const name of ['practice', 'demo']) {
      expect(await veligrid('check', '--data', name)).toMatchObject({ code: 0 });
    }
  });
});

interface Balance {
  readonly balance: readonly {
    readonly line: string;
    readonly says: string | null;
    readonly animals: { readonly estimate: number };
  }[];
}

const ask = async <T>(...args: string[]): Promise<T> =>
  JSON.parse((await veligrid(...args, '--data', 'demo', '--json')).out) as T;

describe('the demo season', () => {
  it('is what it is said to be: two spawns, crosses, three batches, six tanks, fourteen days, a setting', async () => {
    const counts = await Promise.all(['spawn', 'batch', 'tank'].map((noun) => ask<unknown[]>(noun, 'list')));
    expect(counts.map((list) => list.length)).toEqual([2, 3, 6]);
    const samples = await ask<{ takenAt: string; photos: number; signedOffBy: string }[]>('sample', 'list');
    const days = samples.map(({ takenAt }) => takenAt.slice(0, 10)).toSorted();
    expect([days[0], days.at(-1)]).toEqual(['2026-05-04', '2026-05-18']);
    expect(samples.filter(({ photos }) => photos > 0).length).toBe(7);
    expect(samples.map(({ signedOffBy }) => signedOffBy)).not.toContain('not signed off');
    const store = await openStore('demo');
    expect([(await store.crosses.list()).length, (await store.settingEvents.list()).length]).toEqual([5, 2]);
    expect((await store.cultures.list()).length).toBe(3);
    await store.close();
  });

  it('has no move that can not have happened, and every batch balances line by line', async () => {
    for (const batch of ['A', 'B', 'C']) {
      const { refused } = await ask<{ refused: unknown[] }>('history', batch);
      expect(refused).toEqual([]);
      const { balance } = await ask<Balance>('batch', 'show', batch);
      const of = (line: string): number => balance.find((one) => one.line === line)?.animals.estimate ?? 0;
      const out = ['moved out', 'culled', 'taken in samples', 'shipped', 'put to set', 'discarded'].reduce(
        (sum, line) => sum + of(line),
        0,
      );
      const left = of('alive at the last count') + of('unexplained');
      expect(of('stocked') + of('moved in')).toBeCloseTo(out + left, 3);
    }
  });

  it('mixes the parents of A into B by numbers', async () => {
    const { origin, effectiveBreeders } = await ask<{
      origin: { from: string; name: string; sharePercent: number }[];
      effectiveBreeders: number;
    }>('batch', 'show', 'B');
    const dams = origin.filter(({ from }) => from === 'dam');
    expect(dams.map(({ name }) => name).toSorted()).toEqual(['E-11', 'E-12', 'N-01', 'N-02', 'N-03']);
    expect(dams.reduce((sum, { sharePercent }) => sum + sharePercent, 0)).toBeCloseTo(100, 9);
    // 1/sum of squared shares of each sex (Lacy 1989), then 4 Nm Nf/(Nm + Nf) (Wright 1931)
    const of = (sex: string): number =>
      1 / origin.filter(({ from }) => from === sex).reduce((sum, one) => sum + (one.sharePercent / 100) ** 2, 0);
    expect(effectiveBreeders).toBeCloseTo((4 * of('dam') * of('sire')) / (of('dam') + of('sire')), 9);
  });

  it('is never put into a folder that holds something', async () => {
    const { code, err } = await veligrid('demo-season', '--data', 'demo');
    expect([code, err]).toEqual([4, expect.stringContaining('demo is not empty')]);
  });

  it('comes back from an export row by row', async () => {
    expect((await veligrid('export', 'out', '--data', 'demo')).code).toBe(0);
    expect((await veligrid('import', 'out', '--data', 'back')).code).toBe(0);
    expect(everyRow('back')).toEqual(everyRow('demo'));
  });

  it('is the same in every run', async () => {
    cpSync('demo', 'kept', { recursive: true });
    expect((await veligrid('demo-season', '--data', 'again')).code).toBe(0);
    expect(everyRow('again')).toEqual(everyRow('kept'));
  }, 300_000);
});
