import { Command, CommanderError, InvalidArgumentError, Option } from 'commander';
import { VeligridError } from '@veligrid/model';
import { addCalibrateCommand } from './calibrate/add-calibrate-command.js';
import type { Console } from './console.js';
import { countCommand, type CountArguments } from './count/count-command.js';
import { estimateCommand } from './estimate/estimate-command.js';
import { EXIT, exitCodeOf } from './exit-codes.js';
import { fieldsCommand, type FieldsArguments } from './fields/fields-command.js';
import { addPlanCommand } from './plan/add-plan-command.js';
import { scoreCommand } from './score/score-command.js';
import { addSeasonCommands } from './season/add-season-commands.js';
import type { CountFile } from './season/sample/keep-photo.js';
import { addServe } from './serve/add-serve.js';
import { addStageCommands, addStagingOptions } from './stages/add-stage-commands.js';
import { addMove } from './store/add-move.js';
import { addStoreCommands } from './store/add-store-commands.js';
import { wholeAboveZero } from './whole-number.js';
import { addWorker } from './worker/worker-command.js';

const CODES = `
Exit codes: 0 done; 1 a fault of Veligrid; 2 wrong arguments or input; 3 a photo could not be read (the others are
done, the bad one is named); 4 refused by a rule; 5 a result could not be written.`;

const COUNT_HELP = `
Examples:
  veligrid count day4/ --out results --overlay
      every photo in the folder day4 and the folders in it; scale from the ruled cell
  veligrid count IMG_1.jpg IMG_2.jpg --scale 1.62 --out results --csv
      two photos taken at 1.62 um a pixel, with a table for a spreadsheet
  veligrid count dish.tif --cell none --out results
      a photo without ruled lines; every page of the file is a photo

One JSON file per photo is written below the folder given with --out. Nothing is signed off: look at the overlays.
${CODES}`;

const FIELDS_HELP = `
Example:
  veligrid fields --cell sedgwick-rafter --photos 10 --out day4
      draws 10 of the 1,000 squares, before anybody looks; day4/fields.html is the map to print
  veligrid count day4/photos --fields day4/fields.json --out results
      counts them; photos of other fields are flagged fields-not-random
${CODES}`;

const SCORE_HELP = `
Example:
  veligrid score results/ truth/

Each truth file belongs to the count file of the same name. A truth file is a count file confirmed by hand, or the
truth that a drawn slide comes with. An object is found when a detection lies within half its length of its middle;
objects cut by the edge or far out of focus count neither for nor against.
${CODES}`;

const ESTIMATE_HELP = `
Example of a question (three fillings of 0.5 mL from a container of 300 mL):
  {"kind":"count","container":{"volumeMl":300},
   "subsamples":[{"count":80,"volumeMl":0.5},{"count":77,"volumeMl":0.5},{"count":80,"volumeMl":0.5}]}

Kinds: count, share, stages, survival, growth, lengths, audit. Dilutions are given as volumes, for example
"steps":[{"takenMl":10,"madeUpToMl":100}]. Every field: docs/estimate.schema.json; what the limits mean:
docs/statistics.md.
${CODES}`;

function aboveZero(text: string): number {
  const value = Number(text);
  if (text.trim() === '' || !Number.isFinite(value) || value <= 0)
    throw new InvalidArgumentError('Give a number above 0.');
  return value;
}

/** Options of `count` as the parser gives them. */
type CountOptions = Omit<CountArguments, 'inputs'>;

function addCount(program: Command, console: Console, worker: URL | undefined, done: (code: number) => void): void {
  const count = program
    .command('count')
    .description('count and measure every egg and larva on photos of a counting slide')
    .argument('<photos...>', 'photos and folders of photos')
    .requiredOption('--out <folder>', 'folder for the results, made when missing')
    .option('--scale <um/px>', 'micrometres a pixel; without it the ruled lines give the scale', aboveZero)
    .option('--calibration <name>', 'calibration that veligrid calibrate saved, by name or file')
    .option('--calibration-folder <folder>', 'where calibrations are kept')
    .addOption(
      new Option('--cell <kind>', 'ruled cell in the photos')
        .choices(['sedgwick-rafter', 'haemocytometer', 'none'])
        .default('sedgwick-rafter'),
    )
    .addOption(
      new Option('--rule <rule>', 'which objects at the edge of the counted area belong to it')
        .choices(['centroid', 'two-sides'])
        .default('centroid'),
    )
    .addOption(
      new Option('--area <area>', 'count whole ruled squares where there are any, or always the whole field')
        .choices(['squares', 'field'])
        .default('squares'),
    )
    .option('--one-filling', 'the photos show parts of one filling: count what several of them show once')
    .option('--fields <file>', 'plan of the fields that were drawn, from veligrid fields');
  addStagingOptions(count)
    .option('--overlay', 'write a picture of each photo with its outlines, to check by eye')
    .option('--csv', 'write every object of every photo into detections.csv')
    .option('--threads <n>', 'photos counted at a time (default: one per processor core)', wholeAboveZero)
    .option('--timing', 'write the time of each step into the count files')
    .addHelpText('after', COUNT_HELP)
    .action(async (inputs: string[], options: CountOptions) => {
      done(await countCommand({ ...options, inputs }, console, worker));
    });
}

/** Options of `fields` as the parser gives them. */
type FieldsOptions = Omit<FieldsArguments, 'unit'> & { readonly as: FieldsArguments['unit'] };

function addFields(program: Command, console: Console, done: (code: number) => void): void {
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

function addScore(program: Command, console: Console, done: (code: number) => void): void {
  program
    .command('score')
    .description('how well count files agree with marks made by hand, or with known truth')
    .argument('<predictions>', 'folder of count files')
    .argument('<truth>', 'folder of truth files')
    .addHelpText('after', SCORE_HELP)
    .action(async (predictions: string, truth: string) => {
      done(await scoreCommand(predictions, truth, console));
    });
}

function addEstimate(program: Command, console: Console, done: (code: number) => void): void {
  program
    .command('estimate')
    .description('totals, shares, lengths, survival and growth with their limits, from counts that staff stand for')
    .argument('<file>', 'a JSON file with one question, or - for standard input')
    .option('--text', 'print for people instead of JSON')
    .addHelpText('after', ESTIMATE_HELP)
    .action(async (file: string, options: { readonly text?: boolean }) => {
      done(await estimateCommand({ ...options, file }, console));
    });
}

function tell(error: unknown, console: Console): number {
  if (error instanceof CommanderError) return error.exitCode === 0 ? EXIT.done : EXIT.wrongInput;
  const message = error instanceof VeligridError ? error.message : `A fault of Veligrid: ${String(error)}`;
  console.err(`${message}\n`);
  return exitCodeOf(error);
}

/**
 * Runs the command line.
 *
 * @param args what follows the command's name
 * @param console where to write
 * @param worker module that counts one photo; only tests give their own
 * @param countFile counts a photo for `sample photos`; only tests give their own
 * @returns exit code, as the help says
 */
export async function run(
  args: readonly string[],
  console: Console,
  worker?: URL,
  countFile?: CountFile,
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
    .addHelpText('after', CODES);
  addCount(program, console, worker, done);
  addFields(program, console, done);
  addStageCommands(program, console, done);
  addCalibrateCommand(program, console, done);
  addScore(program, console, done);
  addEstimate(program, console, done);
  addPlanCommand(program, console, done);
  addServe(program, console, done);
  addWorker(program, console, done);
  addSeasonCommands(program, { console, done }, countFile);
  addStoreCommands(program, console, done);
  addMove(program, console, done);
  try {
    await program.parseAsync([...args], { from: 'user' });
  } catch (error) {
    return tell(error, console);
  }
  return code;
}
