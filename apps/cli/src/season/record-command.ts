import { Option, type Command } from 'commander';
import type { Adding } from '../adding.js';
import { EXIT } from '../exit-codes.js';
import { type Answered, type Field, Given, ISO_FORMATS, type Kind } from '@veligrid/season';
import { recording, type DeskOptions } from './open-desk.js';

/** Options as the parser gives them. */
export type Parsed = DeskOptions & { readonly by: string } & Readonly<Record<string, string | boolean | undefined>>;

const camel = (name: string): string => name.replace(/_(\w)/g, (_, letter: string) => letter.toUpperCase());

function optionOf({ name, about, yesNo, choices }: Field): Option {
  const flag = `--${name.replaceAll('_', '-')}`;
  if (yesNo === true) return new Option(flag, about);
  const option = new Option(`${flag} <${name.split('_').at(-1) ?? name}>`, about);
  return choices === undefined ? option : option.choices([...choices]);
}

/** Texts by field, from the argument and the options. */
function textsOf(fields: readonly Field[], argument: string | undefined, options: Parsed): Map<string, string> {
  const texts = new Map<string, string>();
  for (const [i, { name }] of fields.entries()) {
    const said = i === 0 ? argument : options[camel(name)];
    if (typeof said === 'string') texts.set(name, said);
    if (said === true) texts.set(name, 'yes');
  }
  return texts;
}

/** Adds folder and JSON to a command that looks. */
export const withData = (command: Command): Command =>
  command.requiredOption('--data <folder>', 'folder of your hatchery').option('--json', 'print JSON');

/** Adds the options of a command that records. */
export const withBy = (command: Command): Command =>
  withData(command).requiredOption('--by <name>', 'who says it, as it is written into the record');

/** Makes the command for a kind of entry: its first field is the argument, the others are options. */
function recordCommand(command: Command, fields: readonly Field[]): Command {
  const [first, ...others] = fields;
  if (first !== undefined)
    command.argument(first.needed === 'always' ? `<${first.name}>` : `[${first.name}]`, first.about);
  for (const one of others) command.addOption(optionOf(one));
  return withBy(command);
}

const nameOf = (entry: Answered): string => ('name' in entry ? ` ${String(entry.name)}` : '');

/** Adds a command that keeps one entry and says so. */
export function addRecordCommand(parent: Command, name: string, kind: Kind, { console, done }: Adding): void {
  const command = parent.command(name).description(kind.about);
  recordCommand(command, kind.fields).action(async (argument: string | undefined, options: Parsed) => {
    const given = new Given(textsOf(kind.fields, argument, options), ISO_FORMATS);
    const entry = await recording(options, (desk) => kind.keep(given, desk));
    console.out(
      options.json === true
        ? `${JSON.stringify(entry, null, 2)}\n`
        : `Kept: ${kind.name}${nameOf(entry)} (${entry.id})\n`,
    );
    done(EXIT.done);
  });
}
