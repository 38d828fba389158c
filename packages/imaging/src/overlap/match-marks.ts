import { applied, fitSimilarity, type Affine, type PointPair } from './affine.js';
import { SIZE_LIMIT, type Guess } from './guesses.js';
import type { Mark, MarkMap } from './marks.js';

/** Two photos as their marks see them; the second one's places and sizes in the first one's scale. */
export interface MarkedPair {
  readonly first: readonly Mark[];
  readonly second: readonly Mark[];
  readonly secondMap: MarkMap;
  /** Size of the second photo, pixels of its own scale brought to the first's. */
  readonly width: number;
  readonly height: number;
  /** Centroids of one thing in two photos differ by no more than this share of its size, and so many pixels. */
  readonly slackPx: number;
}

/** Marks of two photos that are the same thing. */
export interface MarkMatch {
  readonly from: Mark;
  readonly to: Mark;
}

/** How well a map of one photo onto another fits. */
export interface Fit {
  readonly map: Affine;
  readonly matches: readonly MarkMatch[];
  /** Marks of the first photo that come to lie in the second. */
  readonly inSight: number;
  /** Chance that one of them lies on a like mark of the second by accident, mean. */
  readonly byChance: number;
}

const SHARE_OF_SIZE = 0.1;
const ROUNDS = 4;

const slackOf = ({ slackPx }: MarkedPair, size: number): number => slackPx + SHARE_OF_SIZE * size;

/** Marks of the first photo matched one to one with those of the second, nearest first. */
function matchesOf(pair: MarkedPair, map: Affine): { matches: MarkMatch[]; inSight: number; byChance: number } {
  const candidates: { from: Mark; to: Mark; distance: number }[] = [];
  let inSight = 0;
  let chance = 0;
  const density = pair.second.length / (pair.width * pair.height);
  for (const from of pair.first) {
    const [x, y] = applied(map, from.x, from.y);
    if (x < 0 || y < 0 || x > pair.width || y > pair.height) continue;
    inSight++;
    chance += 1 - Math.exp(-density * Math.PI * slackOf(pair, from.size) ** 2);
    for (const to of pair.secondMap.near(x, y)) {
      const distance = Math.hypot(to.x - x, to.y - y);
      const alike = Math.abs(Math.log(from.size / to.size)) < SIZE_LIMIT;
      if (alike && distance < slackOf(pair, Math.min(from.size, to.size))) candidates.push({ from, to, distance });
    }
  }
  candidates.sort((a, b) => a.distance - b.distance);
  const taken = new Set<Mark>();
  const matches = candidates.filter(({ from, to }) => {
    if (taken.has(from) || taken.has(to)) return false;
    taken.add(from).add(to);
    return true;
  });
  return { matches, inSight, byChance: inSight === 0 ? 1 : Math.max(1e-9, chance / inSight) };
}

const pointsOf = (matches: readonly MarkMatch[]): PointPair[] =>
  matches.map(({ from, to }) => ({ from: [from.x, from.y], to: [to.x, to.y] }));

/** Follows a guess: matches, fits again, and matches again until nothing changes. */
export function followGuess(pair: MarkedPair, guess: Guess): Fit {
  const [one, two] = guess.from;
  const [toOne, toTwo] = guess.to;
  let map = fitSimilarity([
    { from: [one.x, one.y], to: [toOne.x, toOne.y] },
    { from: [two.x, two.y], to: [toTwo.x, toTwo.y] },
  ]);
  let found = matchesOf(pair, map);
  for (let round = 0; round < ROUNDS && found.matches.length >= 2; round++) {
    const next = fitSimilarity(pointsOf(found.matches));
    const again = matchesOf(pair, next);
    if (again.matches.length < found.matches.length) break;
    const done = again.matches.length === found.matches.length && round > 0;
    [map, found] = [next, again];
    if (done) break;
  }
  return { map, ...found };
}
