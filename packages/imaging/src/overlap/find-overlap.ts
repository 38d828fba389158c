import type { PhotoCount } from '@veligrid/model';
import { applied, chained, IDENTITY, type Affine } from './affine.js';
import { agreement, refined, type Agreement } from './agreement.js';
import { logFalseFits } from './evidence.js';
import { guessTurns } from './guesses.js';
import { likeness } from './likeness.js';
import { looksOf, type Looks } from './looks.js';
import { MarkMap, marksOf, type Mark } from './marks.js';
import { followGuess, type Fit, type MarkedPair } from './match-marks.js';
import { VIEW_UM, type PhotoView } from './photo-view.js';
import { speckMarks } from './speck-marks.js';

/** A photo as it is compared with others. */
export interface ViewedCount {
  readonly count: PhotoCount;
  readonly view: PhotoView;
}

/** A photo made ready to be compared with many. */
export interface MarkedPhoto extends ViewedCount {
  /** Micrometres per pixel; without a scale the copy is taken to be at its usual one. */
  readonly umPerPx: number;
  readonly marks: readonly Mark[];
  readonly looks: Looks;
}

/** Two photos of one place. */
export interface Overlap {
  /** From the first photo's pixels to the second's. */
  readonly map: Affine;
  /** Blocks of the copies compared: those with something in them, ruled lines left out. */
  readonly blocks: number;
  /** Of these, blocks that look alike in both photos. */
  readonly alike: number;
}

/** A way in which two photos may lie on each other, and what speaks for it. */
interface Candidate {
  readonly fit: Fit;
  readonly map: Affine;
  /** Base-10 logarithm of the number of fits this good that chance would give. */
  readonly logFalse: number;
  /** Mean likeness of the pictures of the marks matched, -1 to 1. */
  readonly likeness: number;
}

/** Marks of one thing in two photos differ by this much at least, micrometres. */
const SLACK_UM = 6;
/** Size that specks are given, micrometres. */
const SPECK_UM = 30;
/** Least mean likeness of the marks matched for a candidate to be looked at closely. */
const LEAST_LIKENESS = 0.7;
/** Marks compared for it, at most. */
const MOST_COMPARED = 8;
/** A tenth of likeness outweighs so many powers of ten of chance. */
const LIKENESS_WEIGHT = 20;
/** Candidates looked at closely, at most. */
const MOST_LOOKED_AT = 12;
/** Share of blocks that may look alike by chance. */
const CHANCE_SHARE = 0.3;
/** Fewest blocks that must look alike, and least share of all with something in them: larvae may have swum. */
const LEAST_BLOCKS = 5;
const LEAST_SHARE = 0.5;

/** Finds the marks of a photo: what was found in it, and specks. */
export function markPhoto({ count, view }: ViewedCount): MarkedPhoto {
  const umPerPx = count.scale.umPerPx ?? VIEW_UM / view.factor;
  const marks = [...marksOf(count), ...speckMarks(view, SPECK_UM / umPerPx)];
  return { count, view, umPerPx, marks, looks: looksOf(view, marks, umPerPx) };
}

function meanLikeness({ matches }: Fit, map: Affine, views: readonly [PhotoView, PhotoView]): number {
  const step = Math.max(1, Math.floor(matches.length / MOST_COMPARED));
  const values = matches
    .filter((_, k) => k % step === 0)
    .map(({ from }) => likeness(views, map, from))
    .filter((value) => value !== null);
  return values.length === 0 ? -1 : values.reduce((sum, value) => sum + value, 0) / values.length;
}

/** Candidates of which no two are of the same map, roughly. */
function distinct(candidates: readonly Candidate[]): Candidate[] {
  const seen = new Map<string, Candidate>();
  for (const one of candidates) {
    const { c, f, d } = one.map;
    const key = [c / 8, f / 8, d * 200].map(Math.round).join();
    const known = seen.get(key);
    if (known === undefined || known.fit.matches.length < one.fit.matches.length) seen.set(key, one);
  }
  return [...seen.values()];
}

function candidatesOf(from: MarkedPhoto, to: MarkedPhoto): Candidate[] {
  const { umPerPx } = from;
  const ratio = to.umPerPx / umPerPx;
  const slackPx = SLACK_UM / umPerPx;
  const second = to.marks.map((mark) => ({ ...mark, x: ratio * mark.x, y: ratio * mark.y, size: ratio * mark.size }));
  const pair: MarkedPair = {
    first: from.marks,
    second,
    secondMap: new MarkMap(second, slackPx + Math.max(...second.map(({ size }) => size))),
    width: to.count.widthPx * ratio,
    height: to.count.heightPx * ratio,
    slackPx,
  };
  const looks = [from.looks, to.looks] as const;
  const { best, tried } = guessTurns({ first: from.marks, second, looks, umPerPx, leastDistance: 5 * slackPx });
  return best.map((guess) => {
    const fit = followGuess(pair, guess);
    const map = chained(fit.map, { ...IDENTITY, a: 1 / ratio, e: 1 / ratio });
    const logFalse = logFalseFits({ ...fit, matches: fit.matches.length }, tried);
    return { fit, map, logFalse, likeness: meanLikeness(fit, map, [from.view, to.view]) };
  });
}

function lookedAt(views: readonly [PhotoView, PhotoView], map: Affine): Overlap {
  const overlapOf = (by: Affine, { blocks, alike }: Agreement): Overlap => ({ map: by, blocks, alike });
  const before = agreement(views, map);
  const better = refined(map, before);
  if (better === map) return overlapOf(map, before);
  const after = agreement(views, better);
  return after.alike >= before.alike ? overlapOf(better, after) : overlapOf(map, before);
}

/**
 * Two photos that are known to show one place by way of others: the map is made better where the pictures allow.
 *
 * @param map of the first photo onto the second, good to some pixels
 * @returns null when the photos do not meet
 */
export function knownOverlap(from: MarkedPhoto, to: MarkedPhoto, map: Affine): Overlap | null {
  const { widthPx, heightPx } = from.count;
  const corners = [0, 0.25, 0.5, 0.75, 1].flatMap((x) => [0, 0.25, 0.5, 0.75, 1].map((y) => [x, y] as const));
  const meets = corners.some(([x, y]) => {
    const [u, v] = applied(map, x * (widthPx - 1), y * (heightPx - 1));
    return u >= 0 && v >= 0 && u < to.count.widthPx && v < to.count.heightPx;
  });
  return meets ? lookedAt([from.view, to.view], map) : null;
}

/** Blocks that look alike beyond those that do by chance. */
const surplus = ({ alike, blocks }: Overlap): number => alike - CHANCE_SHARE * blocks;

const isSamePicture = (one: PhotoView, two: PhotoView): boolean =>
  one.width === two.width && one.height === two.height && Buffer.compare(one.data, two.data) === 0;

/** The likeliest way in which two photos show one place, sure or not; null when they have too little in them. */
function likeliestOverlap(from: MarkedPhoto, to: MarkedPhoto): Overlap | null {
  if (from.marks.length < 2 || to.marks.length < 2) return null;
  const views = [from.view, to.view] as const;
  const weight = (one: Candidate): number => LIKENESS_WEIGHT * one.likeness - one.logFalse;
  const looked = distinct(candidatesOf(from, to))
    .filter((one) => one.likeness >= LEAST_LIKENESS)
    .sort((a, b) => weight(b) - weight(a))
    .slice(0, MOST_LOOKED_AT)
    .map(({ map }) => lookedAt(views, map));
  return looked.sort((a, b) => surplus(b) - surplus(a))[0] ?? null;
}

/**
 * Whether two photos show one place, and how they lie on each other. Things seen (larvae, dirt and specks, never ruled
 * lines, which are alike everywhere) give the ways in which they may; the pictures must then look alike block by block.
 *
 * @returns null when they show different places, or share too little to tell
 */
export function findOverlap(from: MarkedPhoto, to: MarkedPhoto): Overlap | null {
  if (isSamePicture(from.view, to.view)) return { map: IDENTITY, blocks: 0, alike: 0 };
  const overlap = likeliestOverlap(from, to);
  if (overlap === null) return null;
  const { blocks, alike } = overlap;
  return alike >= LEAST_BLOCKS && alike >= LEAST_SHARE * blocks ? overlap : null;
}
