import { Option, type Command } from 'commander';
import { aboveZero } from '../above-zero.js';
import type { Adding } from '../adding.js';
import { EXIT_CODES } from '../exit-codes-help.js';
import { addStagingOptions } from '../stages/add-staging-options.js';
import { wholeAboveZero } from '../whole-number.js';
import { countCommand, type CountArguments } from './count-command.js';

const COUNT_HELP = `
Examples:
  veligrid count day4/ --out results --overlay
      every photo in the folder day4 and the folders in it; scale from the ruled cell
  veligrid count IMG_1.jpg IMG_2.jpg --scale 1.62 --out results --csv
      two photos taken at 1.62 um a pixel, with a table for a spreadsheet
  veligrid count dish.tif --cell none --out results
      a photo without ruled lines; every page of the file is a photo

One JSON file per photo is written below the folder given with --out. Nothing is signed off: look at the overlays.
${EXIT_CODES}`;

/** Options of `count` as the parser gives them. */
type CountOptions = Omit<CountArguments, 'inputs'>;

/** Adds `count`. */
export function addCountCommand(program: Command, { console, done, worker }: Adding): void {
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
