/** How culture that does not suffice is shared. */
export type Sharing = 'equal-parts' | 'in-order';

/** Scarce culture is handed out in tenths of a mL, cut down so that the sum never exceeds what there is. */
const STEPS_PER_ML = 10;
const cut = (ml: number): number => Math.floor(ml * STEPS_PER_ML) / STEPS_PER_ML;

/**
 * Shares what there is among those who ask. Enough for all: each gets what it asked. Else by `equal-parts` each the same
 * part of what it asked, or `in-order` the first in full until nothing is left.
 *
 * @param asked mL, 0 or more
 * @param thereIs mL, 0 or more
 * @returns mL in the order of `asked`; their sum is never above `thereIs`
 */
export function shareOut(asked: readonly number[], thereIs: number, sharing: Sharing): number[] {
  const all = asked.reduce((a, b) => a + b, 0);
  if (all <= thereIs) return [...asked];
  if (sharing === 'equal-parts') return asked.map((ml) => cut((ml * thereIs) / all));
  let gone = 0;
  return asked.map((ml) => {
    const given = gone + ml <= thereIs ? ml : lastOf(gone, thereIs);
    gone += given;
    return given;
  });
}

/** What remains, in whole steps, so that the sum does not pass what there is even by a rounding error. */
function lastOf(gone: number, thereIs: number): number {
  const rest = Math.max(0, cut(thereIs - gone));
  return gone + rest <= thereIs ? rest : Math.max(0, rest - 1 / STEPS_PER_ML);
}
