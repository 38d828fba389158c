import { Option, type Command } from 'commander';
import { notNegative } from '../not-negative.js';

/** Adds the options that say by what stages are judged and of what sample. */
export function addStagingOptions(command: Command): Command {
  return command
    .option('--rules <file>', 'stage rules that veligrid learn wrote (default: the starting rules)')
    .option('--species <name>', 'eastern-oyster, pacific-oyster, hard-clam, or your own preset.json', 'eastern-oyster')
    .option('--age-hours <n>', 'hours after fertilisation', notNegative)
    .addOption(
      new Option('--sample <kind>', 'state of the sample').choices(['live', 'chilled', 'fixed']).default('live'),
    )
    .option('--fixative <name>', 'what a fixed sample was fixed with')
    .option('--buffered', 'the fixative was buffered');
}
