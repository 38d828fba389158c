import type { PhotoCount } from '@veligrid/model';
import { chained, IDENTITY, type Affine } from './affine.js';
import { logFalseFits } from './evidence.js';
import { guessTurns } from './guesses.js';
import { likeness } from './likeness.js';
import { MarkMap, marksOf, type Mark } from './marks.js';
import { followGuess, type Fit, type MarkedPair } from './match-marks.js';
import type { PhotoView } from './photo-view.js';

/** A photo as it is compared with others. */
export interface ViewedCount {
  readonly count: PhotoCount;
  readonly view: PhotoView;
}

/** Two photos of one place. */
export interface Overlap {
  /** From the first photo's pixels to the second's. */
  readonly map: Affine;
  /** Things seen in both, by their place in the lists of detections. */
  readonly matches: readonly (readonly [number, number])[];
  /** Things of the first photo that come to lie in the second. */
  readonly inSight: number;
  /** Base-10 logarithm of the number of fits this good that chance would give. */
  readonly logFalse: number;
  /** Mean likeness of the pictures of the things matched, -1 to 1. */
  readonly likeness: number;
}

/** Centroids of one thing in two photos differ by this much at least, micrometres. */
const SLACK_UM = 6;
/** Without a scale the middle thing seen is taken for so large, micrometres. */
const USUAL_UM = 80;
/** Fewest things that two photos must share. */
const LEAST_MATCHES = 3;
/** Fits by chance in a whole filling: 10 to this power a pair of photos at most. */
const MOST_LOG_FALSE = -5;
/** Least share of what is in sight that must be found again: larvae may swim, and one photo may be out of focus. */
const LEAST_SHARE = 0.3;
/** Least mean likeness of the things matched. */
const LEAST_LIKENESS = 0.6;
/** Things compared picture by picture at most. */
const MOST_COMPARED = 40;

const medianSize = (marks: readonly Mark[]): number =>
  marks.map(({ size }) => size).sort((a, b) => a - b)[marks.length >> 1] ?? 1;

/** Pixels of the first photo a pixel of the second, and micrometres a pixel of the first. */
function scalesOf(first: PhotoCount, second: PhotoCount, marks: readonly Mark[]): { ratio: number; umPerPx: number } {
  const [one, two] = [first.scale.umPerPx, second.scale.umPerPx];
  if (one === null || two === null) return { ratio: 1, umPerPx: one ?? two ?? USUAL_UM / medianSize(marks) };
  return { ratio: two / one, umPerPx: one };
}

function meanLikeness(fit: Fit, map: Affine, views: readonly [PhotoView, PhotoView]): number {
  const step = Math.max(1, Math.floor(fit.matches.length / MOST_COMPARED));
  const values = fit.matches
    .filter((_, k) => k % step === 0)
    .map(({ from }) => likeness(views, map, from))
    .filter((value) => value !== null);
  return values.length === 0 ? -1 : values.reduce((sum, value) => sum + value, 0) / values.length;
}

const isSamePicture = (one: PhotoView, two: PhotoView): boolean =>
  one.width === two.width && one.height === two.height && Buffer.compare(one.data, two.data) === 0;

/** The same file twice: everything is where it was. */
function wholeOverlap({ count }: ViewedCount): Overlap {
  const matches = count.detections.map((_, k) => [k, k] as const);
  return { map: IDENTITY, matches, inSight: matches.length, logFalse: -Infinity, likeness: 1 };
}

function bestFit(first: readonly Mark[], second: readonly Mark[], to: ViewedCount, scales: { ratio: number; umPerPx: number }): { fit: Fit; logFalse: number } | null {
  const slackPx = SLACK_UM / scales.umPerPx;
  const reach = Math.max(...second.map(({ size }) => size));
  const pair: MarkedPair = {
    first,
    second,
    secondMap: new MarkMap(second, slackPx + reach),
    width: to.count.widthPx * scales.ratio,
    height: to.count.heightPx * scales.ratio,
    slackPx,
  };
  const { best, tried } = guessTurns(first, second, 4 * slackPx);
  let winner: { fit: Fit; logFalse: number } | null = null;
  for (const guess of best) {
    const fit = followGuess(pair, guess);
    const logFalse = logFalseFits({ ...fit, matches: fit.matches.length }, tried);
    if (winner === null || logFalse < winner.logFalse) winner = { fit, logFalse };
  }
  return winner;
}

/** The likeliest way in which two photos show one place, sure or not; null when they have too little in them. */
export function likeliestOverlap(from: ViewedCount, to: ViewedCount): Overlap | null {
  if (isSamePicture(from.view, to.view)) return wholeOverlap(from);
  const first = marksOf(from.count);
  const plain = marksOf(to.count);
  if (Math.min(first.length, plain.length) < LEAST_MATCHES) return null;
  const scales = scalesOf(from.count, to.count, [...first, ...plain]);
  const { ratio } = scales;
  const second = plain.map((mark) => ({ ...mark, x: ratio * mark.x, y: ratio * mark.y, size: ratio * mark.size }));
  const winner = bestFit(first, second, to, scales);
  if (winner === null) return null;
  const { fit, logFalse } = winner;
  const map = chained(fit.map, { ...IDENTITY, a: 1 / ratio, e: 1 / ratio });
  const matches = fit.matches.map((match) => [match.from.index, match.to.index] as const);
  return { map, matches, inSight: fit.inSight, logFalse, likeness: meanLikeness(fit, map, [from.view, to.view]) };
}

/**
 * Whether two photos show one place, and how they lie on each other. Things seen (larvae and dirt alike, never ruled
 * lines, which are alike everywhere) must lie in both as chance would not have them, and look alike.
 *
 * @returns null when they show different places, or too little to tell
 */
export function findOverlap(from: ViewedCount, to: ViewedCount): Overlap | null {
  const overlap = likeliestOverlap(from, to);
  if (overlap === null) return null;
  const { matches, inSight, logFalse, likeness: alike } = overlap;
  const isSure =
    matches.length >= Math.max(LEAST_MATCHES, LEAST_SHARE * inSight) &&
    logFalse <= MOST_LOG_FALSE &&
    alike >= LEAST_LIKENESS;
  return isSure || logFalse === -Infinity ? overlap : null;
}
