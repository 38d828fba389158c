import { balanceOf, type Balance, type Stay } from '@veligrid/hatchery';
import type { Row } from './view.js';

const LINES: readonly (readonly [keyof Balance['lines'], string])[] = [
  ['stocked', 'stocked'],
  ['movedIn', 'moved in'],
  ['movedOut', 'moved out'],
  ['culled', 'culled'],
  ['sampled', 'taken in samples'],
  ['shipped', 'shipped'],
  ['putToSet', 'put to set'],
  ['discarded', 'discarded'],
];

const VERDICTS: Readonly<Record<Balance['verdict'], string>> = {
  'not-counted': 'not counted yet',
  'no-measurable-loss': 'no measurable loss',
  loss: 'lost',
  'more-than-came-in': 'more alive than came in: a count, a volume or a move is wrong',
};

/** What the numbers that nobody can explain say, in words. */
const verdictText = ({ verdict }: Pick<Balance, 'verdict'>): string => VERDICTS[verdict];

/** The ledger of some stays, line by line, up to their last counts. */
export function balanceRows(stays: readonly Stay[]): Row[] {
  const balance = balanceOf(stays);
  const moved = LINES.map(([line, words]) => ({ line: words, animals: balance.lines[line] }));
  const told = moved.filter(({ animals, line }) => animals.estimate !== 0 || line === 'stocked');
  return [
    ...told.map(({ line, animals }) => ({ line, animals, says: null })),
    {
      line: 'alive at the last count',
      animals: balance.alive,
      says: balance.alive === null ? 'not counted yet' : null,
    },
    { line: 'unexplained', animals: balance.unexplained, says: verdictText(balance) },
    { line: 'there now, if none died since', animals: balance.present, says: null },
  ];
}
