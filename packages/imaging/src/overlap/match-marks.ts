import { applied, fitSimilarity, scaleOf, type Affine, type PointPair } from './affine.js';
import type { MarkedPair } from './marked-pair.js';
import type { Mark } from './marks.js';
import { MOST_TURN, type Lay } from './vote-shifts.js';

/** Marks of two photos that are the same thing. */
export interface MarkMatch {
  readonly from: Mark;
  readonly to: Mark;
}

/** How well a map of one photo onto another fits. */
export interface Fit {
  readonly map: Affine;
  readonly matches: readonly MarkMatch[];
  /** Of these, those that speak for themselves: parts of one thing speak once. */
  readonly apart: number;
  /** Marks of the first photo that come to lie in the second, by their places. */
  readonly inSight: readonly number[];
}

/** Slack of each round of a fit, over the last: what the votes say is rough. */
const SLACKS = [3, 2, 1.4, 1, 1] as const;
/** Radius about a mark in which like ones are counted to know how dense they lie, over the slack. */
const NEARBY = 40;
/** Most growth of one photo over what their scales say. */
const MOST_GROWTH = 0.03;

/** Matches nearer to each other than this, over the slack, may be of one thing and speak once. */
const APART = 6;

const square = (value: number): number => value * value;

/** Marks of the first photo matched one to one with like ones of the second, nearest first. */
function matchesOf(pair: MarkedPair, map: Affine, slack: number): { matches: MarkMatch[]; inSight: number[] } {
  const near: { from: Mark; to: Mark; distance: number }[] = [];
  const inSight: number[] = [];
  for (const [one, from] of pair.first.entries()) {
    const [x, y] = applied(map, from.x, from.y);
    if (x < 0 || y < 0 || x > pair.width || y > pair.height) continue;
    inSight.push(one);
    for (const to of pair.secondMap.near(x, y)) {
      const distance = Math.hypot(to.x - x, to.y - y);
      if (distance < slack && pair.areAlike(one, to.place)) near.push({ from, to, distance });
    }
  }
  near.sort((a, b) => a.distance - b.distance);
  const taken = new Set<Mark>();
  const matches = near.filter(({ from, to }) => {
    if (taken.has(from) || taken.has(to)) return false;
    taken.add(from).add(to);
    return true;
  });
  return { matches, inSight };
}

/** Number of matches of which no two lie so near that they may be of one thing. */
function apartOf(matches: readonly MarkMatch[], least: number): number {
  const kept: Mark[] = [];
  const bySize = [...matches].sort((a, b) => b.from.size - a.from.size);
  for (const { from } of bySize) {
    const isOwn = kept.every((one) => Math.hypot(one.x - from.x, one.y - from.y) > Math.max(least, one.size / 2));
    if (isOwn) kept.push(from);
  }
  return kept.length;
}

/**
 * Number of marks in sight that would lie on a like one by accident: as many as like marks of the second photo lie round
 * about there, and at least one, over the whole photo or near by, whichever is the more.
 *
 * @param alike for each mark of the first photo those of the second, by their places, that look like it
 */
export function matchesByChance(
  pair: MarkedPair,
  { map, inSight }: Fit,
  alike: readonly (readonly number[])[],
): number {
  const { slackPx, width, height, second } = pair;
  const radius = Math.min(NEARBY * slackPx, Math.min(width, height) / 4);
  return inSight.reduce((sum, one) => {
    const [x, y] = applied(map, pair.first[one].x, pair.first[one].y);
    const partners = alike[one];
    const close = partners.filter((two) => square(second[two].x - x) + square(second[two].y - y) < square(radius));
    const here = (close.length * square(slackPx)) / square(radius);
    const overall = ((partners.length + 1) * Math.PI * square(slackPx)) / (width * height);
    return sum + Math.min(0.5, Math.max(here, overall));
  }, 0);
}

const pointsOf = (matches: readonly MarkMatch[]): PointPair[] =>
  matches.map(({ from, to }) => ({ from: [from.x, from.y], to: [to.x, to.y] }));

const isPossible = (map: Affine): boolean =>
  Math.abs(scaleOf(map) - 1) <= MOST_GROWTH && Math.abs(Math.atan2(map.d, map.a)) <= 1.1 * MOST_TURN;

/** The map of a lay. */
export function mapOf({ turn, dx, dy }: Lay, pair: MarkedPair): Affine {
  const [a, d] = [Math.cos(turn), Math.sin(turn)];
  const [x, y] = [pair.firstWidth / 2, pair.firstHeight / 2];
  return { a, b: -d, c: pair.width / 2 + dx - a * x + d * y, d, e: a, f: pair.height / 2 + dy - d * x - a * y };
}

/** Matches and fits again with less and less slack; null when too little is left to fit by, or the fit can't be. */
export function followMap(pair: MarkedPair, start: Affine): Fit | null {
  let map = start;
  for (const slack of SLACKS) {
    const { matches } = matchesOf(pair, map, slack * pair.slackPx);
    if (matches.length < 3) return null;
    map = fitSimilarity(pointsOf(matches));
    if (!isPossible(map)) return null;
  }
  const { matches, inSight } = matchesOf(pair, map, pair.slackPx);
  return { map, matches, apart: apartOf(matches, APART * pair.slackPx), inSight };
}
