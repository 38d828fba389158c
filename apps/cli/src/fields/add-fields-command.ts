import { Option, type Command } from 'commander';
import type { Adding } from '../adding.js';
import { EXIT_CODES } from '../exit-codes-help.js';
import { wholeAboveZero } from '../whole-number.js';
import { fieldsCommand, type FieldsArguments } from './fields-command.js';

const FIELDS_HELP = `
Example:
  veligrid fields --cell sedgwick-rafter --photos 10 --out day4
      draws 10 of the 1,000 squares, before anybody looks; day4/fields.html is the map to print
  veligrid count day4/photos --fields day4/fields.json --out results
      counts them; photos of other fields are flagged fields-not-random
${EXIT_CODES}`;

/** Options of `fields` as the parser gives them. */
type FieldsOptions = Omit<FieldsArguments, 'unit'> & { readonly as: FieldsArguments['unit'] };

/** Adds `fields`. */
export function addFieldsCommand(program: Command, { console, done }: Adding): void {
  program
    .command('fields')
    .description('draw at random which fields of the cell to photograph')
    .requiredOption('--photos <n>', 'number of photos', wholeAboveZero)
    .addOption(
      new Option('--cell <kind>', 'ruled cell')
        .choices(['sedgwick-rafter', 'haemocytometer'])
        .default('sedgwick-rafter'),
    )
    .addOption(
      new Option('--as <unit>', 'squares, or strips one square high along the whole cell')
        .choices(['squares', 'strips'])
        .default('squares'),
    )
    .option('--seed <number>', 'draws the same fields again (default: chance)', Number)
    .option('--out <folder>', 'folder for fields.json and fields.html', '.')
    .addHelpText('after', FIELDS_HELP)
    .action(async ({ as, ...options }: FieldsOptions) => {
      done(await fieldsCommand({ ...options, unit: as }, console));
    });
}
