import { describe, expect, it } from 'vitest';
import { COMMAND_GROUPS } from '../../apps/cli/src/command-groups.js';
import { run } from '../../apps/cli/src/run.js';
import { exitCodeOf, worstOf } from '../../apps/cli/src/exit-codes.js';
import { VeligridError } from '@veligrid/model';

async function answer(...args: string[]): Promise<{ code: number; out: string; err: string }> {
  const said = { out: '', err: '' };
  const code = await run(args, {
    out: (text) => (said.out += text),
    err: (text) => (said.err += text),
    errIsTerminal: false,
  });
  return { code, ...said };
}

describe('wrong arguments answer 2 and say what is right', () => {
  it.each([
    [['count', '--out', 'x'], "missing required argument 'photos'"],
    [['count', 'a.jpg'], "required option '--out <folder>' not specified"],
    [['count', 'a.jpg', '--out', 'x', '--scale', '-1'], 'Give a number above 0.'],
    [['count', 'a.jpg', '--out', 'x', '--scale', 'wide'], 'Give a number above 0.'],
    [['count', 'a.jpg', '--out', 'x', '--threads', '1.5'], 'Give a whole number of 1 or more.'],
    [['count', 'a.jpg', '--out', 'x', '--threads', '0'], 'Give a whole number of 1 or more.'],
    [['count', 'a.jpg', '--out', 'x', '--cell', 'jar'], 'Allowed choices are sedgwick-rafter, haemocytometer, none.'],
    [['weigh'], "unknown command 'weigh'"],
    [['score', 'a'], "missing required argument 'truth'"],
    [['score', '/nowhere/at/all', '/nowhere'], '/nowhere/at/all does not exist. Name a folder of JSON files.'],
  ])('%j', async (args, words) => {
    const { code, out, err } = await answer(...args);
    expect(code).toBe(2);
    expect(out).toBe('');
    expect(err).toContain(words);
  });

  it('no argument at all shows the help', async () => {
    const { code, err } = await answer();
    expect(code).toBe(2);
    expect(err).toContain('Usage: veligrid');
  });
});

describe('help', () => {
  it.each([[['--help']], [['count', '--help']], [['score', '--help']]])('%j answers 0', async (args) => {
    const { code, out } = await answer(...args);
    expect(code).toBe(0);
    expect(out).toContain('Usage: veligrid');
    expect(out).toContain('Exit codes: 0 done');
  });

  it('shows every option of count, and examples', async () => {
    const { out } = await answer('count', '--help');
    for (const option of ['--out', '--scale', '--cell', '--overlay', '--csv', '--threads', '--timing']) {
      expect(out).toContain(`${option} `);
    }
    expect(out).toContain('veligrid count day4/ --out results --overlay');
  });
});

describe('commands are loaded when they are asked for', () => {
  const names = COMMAND_GROUPS.flatMap(({ commands }) => commands);

  it('and all of them are known by name', async () => {
    const { out } = await answer('--help');
    const told = [...out.matchAll(/^ {2}([a-z-]+) (?:\[|<|.* {2})/gm)].map(([, name = '']) => name);
    expect(told.filter((name) => name !== 'help')).toEqual(names);
  });

  it.each(names)('%s', async (name) => {
    const { code, out } = await answer(name, '--help');
    expect(code).toBe(0);
    expect(out).toContain(`Usage: veligrid ${name} `);
  });
});

describe('exit codes', () => {
  it('follow the kind of error', () => {
    expect(exitCodeOf(new VeligridError('bad-argument', ''))).toBe(2);
    expect(exitCodeOf(new VeligridError('unreadable-photo', ''))).toBe(3);
    expect(exitCodeOf(new VeligridError('refused', ''))).toBe(4);
    expect(exitCodeOf(new VeligridError('unwritable-result', ''))).toBe(5);
    expect(exitCodeOf(new TypeError('x'))).toBe(1);
  });

  it('of several is the one that matters most', () => {
    expect(worstOf([])).toBe(0);
    expect(worstOf([3, 3])).toBe(3);
    expect(worstOf([3, 5])).toBe(5);
    expect(worstOf([3, 5, 1])).toBe(1);
  });
});
