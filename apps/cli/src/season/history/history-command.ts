import type { Command } from 'commander';
import { EXIT } from '../../exit-codes.js';
import { find, ledgerOf, type Desk } from '../desk.js';
import { looking, type DeskOptions } from '../open-desk.js';
import { withData, type Adding } from '../record-command.js';
import { balanceRows } from '../show/balance-view.js';
import { houseNames } from '../show/house-names.js';
import { rowsText, viewText, type Row } from '../show/plain-text.js';
import { originView } from '../show/origin-view.js';
import { fromBroodstock } from './from-broodstock.js';
import type { Happening } from './happening.js';
import { counted, fed, moved, set, watered, type Asked } from './in-tanks.js';
import { lineageOf } from './lineage.js';

/** The whole of a batch, from broodstock to now. */
export interface History {
  readonly batch: string;
  readonly species: string;
  readonly spawnedAt: string | null;
  /** Effective number of breeders, by the shares of dams and sires; null when no parent is recorded. */
  readonly effectiveBreeders: number | null;
  /** What it is made of: batches, crosses, dams and sires with their shares in per cent. */
  readonly origin: readonly Row[];
  /** Ledger up to the last counts. */
  readonly balance: readonly Row[];
  readonly history: readonly Happening[];
  /** Moves and counts that can't have happened as they are said. */
  readonly refused: readonly { readonly id: string; readonly why: string }[];
}

/** Puts together all that is recorded of a batch and of those it comes from. */
async function historyOf(desk: Desk, name: string): Promise<History> {
  const { id, name: batch, species, spawnedAt } = await find(desk, 'batch', name);
  const names = await houseNames(desk.parts);
  const { ledger } = await ledgerOf(desk);
  const { stays, refused } = ledger;
  const own = stays.filter(({ batchId }) => batchId === id);
  const asked: Asked = { lineage: lineageOf(stays, id), stays, names };
  const parts = [
    await fromBroodstock(desk, [...asked.lineage.keys()], names),
    await moved(desk, asked),
    await counted(desk, asked),
    await fed(desk, asked),
    await watered(desk, asked),
    await set(desk, asked),
  ];
  const history = parts.flat().toSorted((a, b) => (a.at < b.at ? -1 : a.at > b.at ? 1 : 0));
  const origin = await originView(desk, id, names, stays);
  return { batch, species, spawnedAt, ...origin, balance: own.length === 0 ? [] : balanceRows(own), history, refused };
}

function historyText({ history, refused, ...rest }: History): string {
  const rows = history.map(({ photos, text, ...one }): Row => ({
    ...one,
    text: [text, ...photos.map(({ photo, picture }) => `${photo} [${picture.slice(0, 12)}]`)].join(' '),
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
