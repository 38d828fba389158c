import type { Command } from 'commander';
import type { Adding } from '../adding.js';
import { EXIT_CODES } from '../exit-codes-help.js';
import { estimateCommand } from './estimate-command.js';

const ESTIMATE_HELP = `
Example of a question (three fillings of 0.5 mL from a container of 300 mL):
  {"kind":"count","container":{"volumeMl":300},
   "subsamples":[{"count":80,"volumeMl":0.5},{"count":77,"volumeMl":0.5},{"count":80,"volumeMl":0.5}]}

Kinds: count, share, stages, survival, growth, lengths, audit. Dilutions are given as volumes, for example
"steps":[{"takenMl":10,"madeUpToMl":100}]. Every field: docs/estimate.schema.json; what the limits mean:
docs/statistics.md.
${EXIT_CODES}`;

/** Adds `estimate`. */
export function addEstimateCommand(program: Command, { console, done }: Adding): void {
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
