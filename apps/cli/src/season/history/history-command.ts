import type { Command } from 'commander';
import type { Adding } from '../../adding.js';
import { historyOf, type History, type Row } from '@veligrid/season';
import { EXIT } from '../../exit-codes.js';
import { looking, type DeskOptions } from '../open-desk.js';
import { withData } from '../record-command.js';
import { rowsText, viewText } from '../show/plain-text.js';

function historyText({ history, refused, ...rest }: History): string {
  const rows = history.map(({ photos, text, at, what, batch, tank, animals, by }): Row => ({
    ...{ at, what, batch, tank, animals },
    text: [text, ...photos.map(({ photo, picture }) => `${photo} [${picture.slice(0, 12)}]`)].join(' '),
    by,
  }));
  const wrong = refused.map(({ id, why }) => `! ${id} is left out of all numbers: ${why}.\n`).join('');
  return `${viewText(rest)}\nhistory\n${rowsText(rows, 'Nothing is recorded of it yet.')}${wrong}`;
}

const HELP = `
Example:
  veligrid history "Spring A" --data hatchery
      spawn, crosses, stocking, every count with its photos and who signed it off, moves, rations, water, setting`;

/** Adds `history`. */
export function addHistory(program: Command, { console, done }: Adding): void {
  withData(program.command('history').description('a batch from broodstock to now, with every count and photo'))
    .argument('<batch>', 'its name, or its id')
    .addHelpText('after', HELP)
    .action(async (batch: string, options: DeskOptions) => {
      const history = await looking(options, (desk) => historyOf(desk, batch));
      console.out(options.json === true ? `${JSON.stringify(history, null, 2)}\n` : historyText(history));
      done(EXIT.done);
    });
}
