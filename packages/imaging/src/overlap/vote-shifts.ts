import type { MarkedPair } from './marked-pair.js';

/** A way to lay one photo on another: turned about its middle, then shifted. */
export interface Lay {
  /** Radians, clockwise. */
  readonly turn: number;
  /** Where the middle of the first photo comes to lie, from the middle of the second, pixels. */
  readonly dx: number;
  readonly dy: number;
  /** What speaks for it; by chance the more, the more the photos share. */
  readonly votes: number;
  /** Place of what they share in `SHARES`. */
  readonly share: number;
}

/** Most turn of one photo against another, radians. */
export const MOST_TURN: number = (8 * Math.PI) / 180;
/** Lays looked at, per turn and in all, most votes first, for each of these shares of the photo and below. */
const SHARES = [0.08, 0.2, 0.45, 1] as const;
const BEST_OF_TURN = 6;
const BEST_OF_SHARE = 50;
/** Cells of the table of votes, at most: coarser ones are taken for very large photos. */
const MOST_CELLS = 4_000_000;

/** Pairs of like marks as plain numbers, from the middles of their photos, and the weight of each vote. */
interface Votes {
  readonly ax: Float64Array;
  readonly ay: Float64Array;
  readonly bx: Float64Array;
  readonly by: Float64Array;
  readonly weight: Float64Array;
}

function votesOf(pair: MarkedPair, alike: readonly (readonly number[])[]): Votes {
  const { first, second, width, height, firstWidth, firstHeight } = pair;
  const n = alike.reduce((sum, partners) => sum + partners.length, 0);
  const [ax, ay, bx, by, weight] = Array.from({ length: 5 }, () => new Float64Array(n)) as [
    Float64Array,
    Float64Array,
    Float64Array,
    Float64Array,
    Float64Array,
  ];
  let at = 0;
  for (const [one, partners] of alike.entries()) {
    for (const two of partners) {
      ax[at] = first[one].x - firstWidth / 2;
      ay[at] = first[one].y - firstHeight / 2;
      bx[at] = second[two].x - width / 2;
      by[at] = second[two].y - height / 2;
      // what looks like little else says more
      weight[at] = 1 + Math.log(second.length / partners.length);
      at++;
    }
  }
  return { ax, ay, bx, by, weight };
}

/** Table of votes for shifts; its cells reach over all shifts at which two photos can meet. */
interface Table {
  readonly cell: number;
  readonly columns: number;
  readonly rows: number;
  readonly sums: Float32Array;
}

function tableOf({ width, height, firstWidth, firstHeight, cellPx }: MarkedPair): Table {
  const [across, down] = [width + firstWidth, height + firstHeight].map((side) => 1.1 * side);
  const cell = Math.max(cellPx, Math.sqrt((across * down) / MOST_CELLS));
  const [columns, rows] = [Math.ceil(across / cell) + 2, Math.ceil(down / cell) + 2];
  return { cell, columns, rows, sums: new Float32Array(columns * rows) };
}

/** Gives every vote for one turn; `at` takes the cell of each, or -1 outside the table. */
function vote({ ax, ay, bx, by, weight }: Votes, table: Table, turn: number, at: Int32Array): void {
  const { cell, columns, rows, sums } = table;
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  for (let k = 0; k < at.length; k++) {
    const column = Math.floor((bx[k] - cos * ax[k] + sin * ay[k]) / cell + columns / 2);
    const row = Math.floor((by[k] - sin * ax[k] - cos * ay[k]) / cell + rows / 2);
    const isIn = column >= 1 && row >= 1 && column < columns - 1 && row < rows - 1;
    at[k] = isIn ? row * columns + column : -1;
    if (isIn) sums[at[k]] += weight[k];
  }
}

/** Votes of a cell and its neighbours: a fit may lie on the border of two. */
function around({ sums, columns }: Table, at: number): number {
  let sum = 0;
  for (let row = -1; row <= 1; row++) {
    for (let column = -1; column <= 1; column++) sum += sums[at + row * columns + column];
  }
  return sum;
}

/** Place in `SHARES` of what two photos share, taken as unturned. */
function shareOf({ width, height, firstWidth, firstHeight }: MarkedPair, dx: number, dy: number): number {
  const across = Math.min(width, firstWidth, (width + firstWidth) / 2 - Math.abs(dx));
  const down = Math.min(height, firstHeight, (height + firstHeight) / 2 - Math.abs(dy));
  const shared = (Math.max(0, across) * Math.max(0, down)) / Math.min(width * height, firstWidth * firstHeight);
  return SHARES.findIndex((most) => shared <= most);
}

/** Puts a lay among the best of its share, unless one beside it has more votes. */
function keep(best: Lay[], lay: Lay, apart: number): void {
  const isBeside = (one: Lay): boolean => Math.abs(one.dx - lay.dx) < apart && Math.abs(one.dy - lay.dy) < apart;
  if (best.some((one) => isBeside(one) && one.votes >= lay.votes)) return;
  best.push(lay);
  best.sort((a, b) => b.votes - a.votes);
  if (best.length > BEST_OF_TURN) best.pop();
}

function bestOfTurn(pair: MarkedPair, table: Table, turn: number, cells: Int32Array): Lay[] {
  const { cell, columns, rows } = table;
  const best = SHARES.map((): Lay[] => []);
  const seen = new Set<number>();
  for (const at of cells) {
    if (at < 0 || seen.has(at)) continue;
    seen.add(at);
    const votes = around(table, at);
    const dx = ((at % columns) + 0.5 - columns / 2) * cell;
    const dy = (Math.floor(at / columns) + 0.5 - rows / 2) * cell;
    const share = shareOf(pair, dx, dy);
    const ofShare = best[share];
    if (ofShare.length === BEST_OF_TURN && votes <= ofShare[BEST_OF_TURN - 1].votes) continue;
    keep(ofShare, { turn, dx, dy, votes, share }, 2 * cell);
  }
  return best.flat();
}

/** Step of the turn at which a mark half a photo away moves by one cell of the table. */
export const turnStep = ({ width, height, cellPx }: MarkedPair): number => cellPx / (Math.hypot(width, height) / 4);

/**
 * Ways to lay one photo on another that bring many like marks together: for every turn, each pair of like marks votes for
 * the shift between them (Ballard 1981, doi:10.1016/0031-3203(81)90009-1).
 *
 * @param alike for each mark of the first photo those of the second, by their places, that look like it
 * @returns the best of each share that the photos may have in common
 */
export function voteShifts(pair: MarkedPair, alike: readonly (readonly number[])[]): Lay[] {
  const votes = votesOf(pair, alike);
  const table = tableOf(pair);
  const cells = new Int32Array(votes.weight.length);
  const step = turnStep(pair);
  const turns = Math.ceil(MOST_TURN / step);
  const best: Lay[] = [];
  for (let k = -turns; k <= turns; k++) {
    vote(votes, table, k * step, cells);
    best.push(...bestOfTurn(pair, table, k * step, cells));
    for (const at of cells) if (at >= 0) table.sums[at] = 0;
  }
  best.sort((a, b) => b.votes - a.votes);
  return SHARES.flatMap((_, share) => best.filter((lay) => lay.share === share).slice(0, BEST_OF_SHARE));
}
