import { join } from 'node:path';
import { expect } from 'vitest';
import type { Console } from '../../../apps/cli/src/console.js';
import { run } from '../../../apps/cli/src/run.js';
import { newFolder } from '../../storage/new-folder.js';

/** What a command said and how it ended. */
export interface Said {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

/** Runs the command in this process. */
export async function veligrid(...args: string[]): Promise<Said> {
  const said = { out: '', err: '' };
  const console: Console = {
    out: (text) => (said.out += text),
    err: (text) => (said.err += text),
    errIsTerminal: false,
  };
  return { code: await run(args, console), ...said };
}

/** A hatchery folder of its own with commands on it. */
export interface Bench {
  readonly data: string;
  /** Records something, and gives the answer as it was parsed. */
  readonly record: (...args: string[]) => Promise<Record<string, unknown>>;
  /** Asks something. */
  readonly ask: <T = Record<string, unknown>>(...args: string[]) => Promise<T>;
  /** Does what is refused, and gives how. */
  readonly refused: (...args: string[]) => Promise<Said>;
}

/** Makes a bench; nothing is in its folder yet. */
export function newBench(by = 'Day technician'): Bench {
  const data = join(newFolder(), 'hatchery');
  const answer = async (args: string[]): Promise<unknown> => {
    const { code, out, err } = await veligrid(...args, '--data', data, '--json');
    expect([code, err]).toEqual([0, '']);
    return JSON.parse(out);
  };
  return {
    data,
    record: (...args) => answer([...args, '--by', by]) as Promise<Record<string, unknown>>,
    ask: <T>(...args: string[]) => answer(args) as Promise<T>,
    refused: (...args) => veligrid(...args, '--data', data, '--by', by),
  };
}

/** Broodstock, a spawn, a cross, a batch and two tanks; the batch is stocked. */
export async function beganSeason(bench: Bench): Promise<void> {
  const { record } = bench;
  await record('broodstock', 'add', 'N-1', '--line', 'North', '--sex', 'female');
  await record('broodstock', 'add', 'N-2');
  await record('spawn', 'add', 'Spawn 1', '--at', '2026-05-04T07:00Z', '--ambient-c', '19', '--raised-c', '28');
  await record('spawn', 'result', 'Spawn 1', '--animal', 'N-2', '--sex', 'male', '--gamete-ml', '20');
  await record(
    'spawn',
    'cross',
    'X1',
    '--spawn',
    'Spawn 1',
    '--dams',
    'N-1',
    '--sires',
    'N-2',
    '--eggs',
    '4e6',
    '--at',
    '2026-05-04T09:00Z',
  );
  await record('batch', 'add', 'A', '--crosses', 'X1=2e6');
  await record('tank', 'add', '1-15', '--volume-l', '2000', '--volume-uncertainty-l', '40');
  await record('tank', 'add', '1-16', '--volume-l', '1000');
  await record('tank', 'stock', '1-15', '--batch', 'A', '--number', '2e6', '--at', '2026-05-04T12:00Z');
}
