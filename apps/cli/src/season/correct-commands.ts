import type { Command } from 'commander';
import type { Adding } from '../adding.js';
import { VeligridError } from '@veligrid/model';
import { CORRECTABLE, correctableOf, correctEntry, takeBackEntry } from '@veligrid/season';
import { EXIT } from '../exit-codes.js';
import { recording, type DeskOptions } from './open-desk.js';
import { withBy } from './record-command.js';

/** `number=5e5` as a field and its value; nothing after the sign takes a value away. */
function change(said: string): readonly [name: string, value: string] {
  const at = said.indexOf('=');
  if (at > 0) return [said.slice(0, at), said.slice(at + 1)];
  throw new VeligridError('bad-argument', `"${said}" changes nothing: give FIELD=VALUE, such as number=480000.`);
}

interface CorrectOptions extends DeskOptions {
  readonly by: string;
  readonly why: string;
}

const HELP = `
Examples:
  veligrid correct move ID number=480000 low= high= --why "read the wrong line" --by NAME --data hatchery
  veligrid take-back ration ID --why "another tank" --by NAME --data hatchery
Ids: veligrid tank show, veligrid batch show with --json, or the answer when it was recorded. What was said before stays in
the record, with who corrected it and why.`;

/** Adds `correct` and `take-back`. */
export function addCorrectCommands(program: Command, { console, done }: Adding): void {
  withBy(program.command('correct').description('say some fields of something recorded anew; the first saying stays'))
    .argument('<what>', `one of ${CORRECTABLE.join(', ')}`)
    .argument('<id>', 'its id')
    .argument('<changes...>', 'FIELD=VALUE, such as number=480000')
    .requiredOption('--why <reason>', 'why, in a sentence')
    .addHelpText('after', HELP)
    .action(async (what: string, id: string, changes: string[], options: CorrectOptions) => {
      const entry = await recording(options, (desk) =>
        correctEntry(desk, { what: correctableOf(what), id, why: options.why }, new Map(changes.map(change))),
      );
      console.out(
        options.json === true
          ? `${JSON.stringify(entry, null, 2)}\n`
          : `Corrected: ${what} (${id}), now version ${entry.version}\n`,
      );
      done(EXIT.done);
    });
  withBy(program.command('take-back').description('take back something recorded that never happened'))
    .argument('<what>', `one of ${CORRECTABLE.join(', ')}`)
    .argument('<id>', 'its id')
    .requiredOption('--why <reason>', 'why, in a sentence')
    .addHelpText('after', HELP)
    .action(async (what: string, id: string, options: CorrectOptions) => {
      await recording(options, (desk) => takeBackEntry(desk, { what: correctableOf(what), id, why: options.why }));
      console.out(
        options.json === true ? `${JSON.stringify({ what, id, withdrawn: true })}\n` : `Taken back: ${what} (${id})\n`,
      );
      done(EXIT.done);
    });
}
