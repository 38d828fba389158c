export { balanceOf, verdictOf, type Balance, type Verdict } from './record/balance.js';
export { batchesIn, pedigreeOf, type Parentage, type Part, type Pedigree } from './record/pedigree.js';
export type { Move, TankCount } from './record/season-events.js';
export { refusalOfMove, seasonLedger, type Recorded, type SeasonLedger } from './record/season-ledger.js';
export { INS, OUTS, presentIn, type CountedDay, type LedgerEntry, type LedgerLine, type Stay } from './record/stay.js';
