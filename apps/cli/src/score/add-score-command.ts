import type { Command } from 'commander';
import type { Adding } from '../adding.js';
import { EXIT_CODES } from '../exit-codes-help.js';
import { scoreCommand } from './score-command.js';

const SCORE_HELP = `
Example:
  veligrid score results/ truth/

Each truth file belongs to the count file of the same name. A truth file is a count file confirmed by hand, or the
truth that a drawn slide comes with. An object is found when a detection lies within half its length of its middle;
objects cut by the edge or far out of focus count neither for nor against.
${EXIT_CODES}`;

/** Adds `score`. */
export function addScoreCommand(program: Command, { console, done }: Adding): void {
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
