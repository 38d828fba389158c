import type { Command } from 'commander';
import type { Adding } from '../adding.js';
import { notNegative } from '../not-negative.js';
import { fertilisationCommand, type FertilisationArguments } from './fertilisation-command.js';
import { learnCommand, type LearnArguments } from './learn-command.js';
import { stagesCommand, type StagesArguments } from './stages-command.js';

const LEARN_HELP = `
Corrections are CSV with the columns photo, detection_id, stage, how: one line for every larva looked at, unchanged ones
too. stage may be not-larva. how is audit (picked at random), doubtful or chosen. Audit lines on five slides or more decide
whether the new rules are written; refused ones end with exit code 4 and change nothing.

Example:
  veligrid learn --detections results/ --corrections day4.csv --out rules-1.1.json
  veligrid count day5/ --rules rules-1.1.json --out results5`;

/** Adds `stages`, `learn` and `fertilisation`. */
export function addStageCommands(program: Command, { console, done }: Adding): void {
  program
    .command('stages')
    .description('the stage rules as a table for people')
    .option('--rules <file>', 'stage rules (default: the starting rules)')
    .action(async (options: StagesArguments) => {
      done(await stagesCommand(options, console));
    });
  program
    .command('learn')
    .description('new stage rules from corrections, checked on slides they did not learn from')
    .requiredOption('--detections <folder>', 'folder of the count files that were corrected')
    .requiredOption('--corrections <file>', 'CSV of every larva looked at')
    .requiredOption('--out <file>', 'file for the new rules')
    .option('--rules <file>', 'rules to learn on top of (default: the starting rules)')
    .option('--named <version>', 'version of the new rules (default: the next number)')
    .option('--reference <file>', 'CSV of larvae on which new rules may not be worse')
    .addHelpText('after', LEARN_HELP)
    .action(async (options: LearnArguments) => {
      done(await learnCommand(options, console));
    });
  program
    .command('fertilisation')
    .description('share of fertilised eggs over the count files of one spawn')
    .argument('<counts>', 'folder of count files')
    .requiredOption('--minutes <n>', 'minutes since eggs and sperm were mixed', notNegative)
    .option('--attached-sperm <n>', 'attached sperm per egg, counted under the microscope', notNegative)
    .option('--added-sperm <n>', 'sperm added per egg', notNegative)
    .option('--target <percent>', 'share below which there is a warning (default: 90)', notNegative)
    .option('--json', 'print JSON')
    .action(async (counts: string, options: Omit<FertilisationArguments, 'counts'>) => {
      done(await fertilisationCommand({ ...options, counts }, console));
    });
}
