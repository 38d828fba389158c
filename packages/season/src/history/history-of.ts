import { find, ledgerOf, type Desk } from '../record/desk.js';
import { balanceRows } from './balance-view.js';
import { fromBroodstock } from './from-broodstock.js';
import type { Happening } from './happening.js';
import { houseNames } from './house-names.js';
import { counted, fed, moved, set, watered, type Asked } from './in-tanks.js';
import { lineageOf } from './lineage.js';
import { planned } from './planned.js';
import { originView } from './origin-view.js';
import type { Row } from './view.js';

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
export async function historyOf(desk: Desk, name: string): Promise<History> {
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
    await planned(desk, asked),
  ];
  const history = parts.flat().toSorted((a, b) => (a.at < b.at ? -1 : a.at > b.at ? 1 : 0));
  const origin = await originView(desk, id, names, stays);
  return { batch, species, spawnedAt, ...origin, balance: own.length === 0 ? [] : balanceRows(own), history, refused };
}
