import { InvalidArgumentError, type Command } from 'commander';
import { aboveZero } from '../above-zero.js';
import type { Adding } from '../adding.js';
import { calibrateCommand, type CalibrateArguments } from './calibrate-command.js';

const HELP = `
Examples:
  veligrid calibrate micrometer-4x.jpg --ruler-um 10 --objective 4x --save "bench 4x" --out check --overlay
      a stage micrometer of 1 mm in 100 parts; the lines found are drawn on check/micrometer-4x.calibration.jpg
  veligrid calibrate cell.jpg --grid-um 1000 --save "bench 4x"
      ruled squares of 1 mm; a ruler of the eyepiece that is in sight is calibrated as well
  veligrid calibrate any.jpg --points 120,300,1480,310 --distance-um 2000
      two points of the upright picture, in pixels
  veligrid count day4/ --calibration "bench 4x" --out results

Nothing is saved that can't be relied on: fewer than three lines, lines that stray, or a division that may be half or
twice the true one end with exit code 4 and the reason. Earlier calibrations of a name are kept; the latest is used.`;

function fourNumbers(text: string): number[] {
  const numbers = text.split(',').map((part) => (part.trim() === '' ? Number.NaN : Number(part)));
  if (numbers.length !== 4 || !numbers.every(Number.isFinite)) {
    throw new InvalidArgumentError('Give four numbers, x1,y1,x2,y2 in pixels.');
  }
  return numbers;
}

/** Adds `calibrate`. */
export function addCalibrateCommand(program: Command, { console, done }: Adding): void {
  program
    .command('calibrate')
    .description('the scale of a microscope from a photo of something of known size, to count with')
    .argument('<photo>', 'photo of a stage micrometer, an eyepiece ruler, ruled squares or two marks')
    .option('--ruler-um <um>', 'micrometres of the smallest division of the ruler', aboveZero)
    .option('--grid-um <um>', 'micrometres from one ruled line to the next', aboveZero)
    .option('--points <x1,y1,x2,y2>', 'two points in pixels of the upright picture', fourNumbers)
    .option('--distance-um <um>', 'micrometres between the two points', aboveZero)
    .option(
      '--tolerance-um <um>',
      'by how much the ruling itself may be off over its length (its certificate)',
      aboveZero,
    )
    .option('--save <name>', 'keep it under this name, with the date')
    .option('--microscope <name>', 'microscope it holds for')
    .option('--objective <name>', 'objective it holds for')
    .option('--valid-days <n>', 'days after which counting warns that it is old', aboveZero, 365)
    .option('--folder <folder>', 'where calibrations are kept (default: .veligrid/calibrations in the home folder)')
    .option('--out <folder>', 'folder for the overlay picture')
    .option('--overlay', 'draw the lines found on the picture, to check by eye')
    .option('--json', 'print the calibration as JSON')
    .addHelpText('after', HELP)
    .action(async (photo: string, options: Omit<CalibrateArguments, 'photo'>) => {
      done(await calibrateCommand({ ...options, photo }, console));
    });
}
