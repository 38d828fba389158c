import { Command, CommanderError } from 'commander';
import { VeligridError } from '@veligrid/model';
import type { Adding } from './adding.js';
import { COMMAND_GROUPS } from './command-groups.js';
import type { Console } from './console.js';
import { EXIT, exitCodeOf } from './exit-codes.js';
import { EXIT_CODES } from './exit-codes-help.js';

function tell(error: unknown, console: Console): number {
  if (error instanceof CommanderError) return error.exitCode === 0 ? EXIT.done : EXIT.wrongInput;
  const message = error instanceof VeligridError ? error.message : `A fault of Veligrid: ${String(error)}`;
  console.err(`${message}\n`);
  return exitCodeOf(error);
}

/**
 * Runs the command line. Only the commands asked for are loaded; all of them when none of ours is named, to help.
 *
 * @param args what follows the command's name
 * @param console where to write
 * @param stead what tests give in place of the counter
 * @returns exit code, as the help says
 */
export async function run(
  args: readonly string[],
  console: Console,
  stead: Pick<Adding, 'worker' | 'countFile'> = {},
): Promise<number> {
  let code: number = EXIT.done;
  const done = (answer: number): void => {
    code = answer;
  };
  const program = new Command('veligrid')
    .description('Counts and measures oyster eggs and larvae on photos of a counting slide.')
    .exitOverride()
    .configureOutput({ writeOut: console.out, writeErr: console.err })
    .showHelpAfterError('(veligrid --help, or veligrid count --help, tells more)')
    .addHelpText('after', EXIT_CODES);
  const named = COMMAND_GROUPS.filter(({ commands }) => commands.includes(args[0] ?? ''));
  try {
    for (const { load } of named.length > 0 ? named : COMMAND_GROUPS) {
      const add = await load();
      add(program, { ...stead, console, done });
    }
    await program.parseAsync([...args], { from: 'user' });
  } catch (error) {
    return tell(error, console);
  }
  return code;
}
