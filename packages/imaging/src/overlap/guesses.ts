import type { Mark } from './marks.js';

/** A possible turn of one photo against another, and how many pairs of marks speak for it. */
export interface Guess {
  /** Marks of the first photo and those of the second that they would be. */
  readonly from: readonly [Mark, Mark];
  readonly to: readonly [Mark, Mark];
  readonly votes: number;
}

/** All guesses of two photos. */
export interface Guesses {
  /** Most voted first. */
  readonly best: readonly Guess[];
  /** All that were looked at: what chance had to try with. */
  readonly tried: number;
}

/** Pairs of marks a photo, at most. */
const MOST_PAIRS = 4000;
/** Neighbours that each mark is paired with at least. */
const LEAST_NEIGHBOURS = 8;
/** Most turn of one photo against another, radians. */
export const MOST_TURN: number = (15 * Math.PI) / 180;
/** Distances of the same two marks agree to this share. */
const DISTANCE_LIMIT = 0.03;
/** Sizes of the same mark agree to this share. */
export const SIZE_LIMIT = 0.16;
/** Guesses that are looked at closely. */
const KEPT = 150;

interface MarkPair {
  readonly one: Mark;
  readonly two: Mark;
  readonly distance: number;
  readonly direction: number;
}

function pairsOf(marks: readonly Mark[], leastDistance: number): MarkPair[] {
  const neighbours = Math.max(LEAST_NEIGHBOURS, Math.floor(MOST_PAIRS / Math.max(1, marks.length)));
  const pairs = marks.flatMap((one) =>
    marks
      .map((two) => ({
        one,
        two,
        distance: Math.hypot(two.x - one.x, two.y - one.y),
        direction: Math.atan2(two.y - one.y, two.x - one.x),
      }))
      .filter(({ distance }) => distance > leastDistance)
      .sort((a, b) => a.distance - b.distance)
      .slice(0, neighbours),
  );
  return pairs.sort((a, b) => a.distance - b.distance);
}

const alike = (a: number, b: number): boolean => Math.abs(Math.log(a / b)) < SIZE_LIMIT;
const turnBetween = (a: number, b: number): number => Math.atan2(Math.sin(b - a), Math.cos(b - a));

/**
 * Pairs of marks that lie alike in two photos vote for the turn and shift that takes one onto the other.
 *
 * @param marks of the first photo, and of the second brought to its scale
 * @param coarse width of a voting box in pixels, about a tenth of the distances
 */
export function guessTurns(first: readonly Mark[], second: readonly Mark[], coarse: number): Guesses {
  const ofFirst = pairsOf(first, coarse);
  const ofSecond = pairsOf(second, coarse);
  const boxes = new Map<string, Guess & { votes: number }>();
  let tried = 0;
  let start = 0;
  for (const from of ofFirst) {
    while (start < ofSecond.length && ofSecond[start].distance < from.distance * (1 - DISTANCE_LIMIT)) start++;
    for (let k = start; k < ofSecond.length && ofSecond[k].distance < from.distance * (1 + DISTANCE_LIMIT); k++) {
      const to = ofSecond[k];
      const turn = turnBetween(from.direction, to.direction);
      if (Math.abs(turn) > MOST_TURN || !alike(from.one.size, to.one.size) || !alike(from.two.size, to.two.size)) continue;
      tried++;
      const key = boxKey(from, to, turn, coarse);
      const box = boxes.get(key);
      if (box === undefined) boxes.set(key, { from: [from.one, from.two], to: [to.one, to.two], votes: 1 });
      else box.votes++;
    }
  }
  const best = [...boxes.values()].sort((a, b) => b.votes - a.votes).slice(0, KEPT);
  return { best, tried };
}

/** Box of a guess: where it takes the first photo's origin, and its turn in steps of 2 degrees. */
function boxKey(from: MarkPair, to: MarkPair, turn: number, coarse: number): string {
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  const [x, y] = [(from.one.x + from.two.x) / 2, (from.one.y + from.two.y) / 2];
  const shiftX = (to.one.x + to.two.x) / 2 - cos * x + sin * y;
  const shiftY = (to.one.y + to.two.y) / 2 - sin * x - cos * y;
  const turns = Math.round(turn / (Math.PI / 90));
  return `${String(turns)},${String(Math.round(shiftX / (2 * coarse)))},${String(Math.round(shiftY / (2 * coarse)))}`;
}
