import type { Command } from 'commander';
import type { Adding } from '../adding.js';
import { planCommand, type PlanArguments } from './plan-command.js';

const PLAN_HELP = `
Example of a question (eggs counted in three drops of 20 uL of a pool of 2.5 L):
  {"kind":"egg-pool","pool":{"container":{"volumeMl":2500},
   "subsamples":[{"count":234,"volumeMl":0.02},{"count":277,"volumeMl":0.02},{"count":273,"volumeMl":0.02}]},
   "tanks":[{"name":"bucket 1","volumeMl":15000,"perMl":7}]}

Kinds: egg-pool, stocking, survival, growth, screening, ration, feed-sheet, readiness, setting, packing, breeders. A
number of animals may be typed as a number, as limits from veligrid estimate, or as the count itself. Species:
eastern-oyster (when left out), pacific-oyster, hard-clam. Every field: docs/plan.schema.json; every kind with an
example, and how to put your own figures in place of the presets: docs/plans.md.

Exit codes: 0 done; 1 a fault of Veligrid; 2 wrong arguments or input.`;

/** Adds `veligrid plan`. */
export function addPlanCommand(program: Command, { console, done }: Adding): void {
  program
    .command('plan')
    .description('what to do with a count: pour, stock, screen, feed, set, pack and breed, each figure with its source')
    .argument('<file>', 'a JSON file with one question, or - for standard input')
    .option('--text', 'print for people instead of JSON')
    .option('--figures <file>', "your hatchery's own figures, over the presets of the same names")
    .option('--data <folder>', 'folder of your hatchery: its own figures hold, and it can keep the plan')
    .option('--save', "keep the plan in the hatchery's record (with --data and --by)")
    .option('--sample <name>', 'signed-off count that the plan is for')
    .option('--batch <name>', "batch it is for (default: the sample's)")
    .option('--tank <name>', "tank it is for (default: the sample's)")
    .option('--why <reason>', 'why, in a sentence')
    .option('--by <name>', 'who keeps it')
    .addHelpText('after', PLAN_HELP)
    .action(async (file: string, options: Omit<PlanArguments, 'file'>) => {
      done(await planCommand({ ...options, file }, console));
    });
}
