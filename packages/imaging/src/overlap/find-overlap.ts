import type { PhotoCount } from '@veligrid/model';
import { applied, chained, IDENTITY, scaled, type Affine } from './affine.js';
import {
  alikeByTable,
  alikeMarks,
  alikeWhenAsked,
  chanceVeryAlike,
  veryAlike,
  type MarksToCompare,
} from './alike-marks.js';
import { logBinomialTail, logFalseFits } from './evidence.js';
import { looksOf, type Looks } from './looks.js';
import { MarkMap, marksOf, type Mark } from './marks.js';
import type { MarkedPair } from './marked-pair.js';
import { followMap, mapOf, matchesByChance } from './match-marks.js';
import { logFalsePictures } from './picture-evidence.js';
import { VIEW_UM, type PhotoView } from './photo-view.js';
import { sharedFinds, type SharedFinds } from './shared-finds.js';
import { MOST_TURN, turnStep, voteShifts } from './vote-shifts.js';

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
export interface Overlap extends SharedFinds {
  /** From the first photo's pixels to the second's. */
  readonly map: Affine;
  /** Marks (finds and specks) of the first photo that lie on like ones of the second. */
  readonly marks: number;
  /** How many would by chance, expected. */
  readonly byChance: number;
  /** Base-10 logarithm of the number of ways to lay the photos on each other that chance would make as good. */
  readonly logFalse: number;
  /** The second photo is of the very same frame. */
  readonly isUnmoved: boolean;
}

/** What the marks say of two photos. */
type Evidence = Pick<Overlap, 'map' | 'marks' | 'byChance' | 'logFalse'>;

/** Places of one mark in two photos differ by no more than this, micrometres. */
const SLACK_UM = 8;
/** Side of the cells in which votes are gathered, over the slack. */
const CELL = 2;
/** Least number of coincident marks, whatever chance says. */
const LEAST_MARKS = 3;
/** Candidates whose pictures are compared, at most. */
const MOST_LOOKED_AT = 12;
/** Base-10 logarithm of the number of false fits that is borne in one pair of photos. */
const MOST_LOG_FALSE = -5;
/** Below this nothing better is looked for. */
const PLAIN_LOG_FALSE = -12;
/** Least share of the finds in the common place that look alike in both photos: all others must have swum. */
const LEAST_SHARE = 0.2;
/** Photos of the very same frame may have but the dust on the lens in common: so many finds and such a share must agree. */
const UNMOVED = 3;
const LEAST_FINDS_UNMOVED = 3;
const LEAST_SHARE_UNMOVED = 0.5;

/** Finds the marks of a photo. */
export function markPhoto({ count, view }: ViewedCount): MarkedPhoto {
  const umPerPx = count.scale.umPerPx ?? VIEW_UM / view.factor;
  const marks = marksOf(count, view, umPerPx);
  return { count, view, umPerPx, marks, looks: looksOf(view, marks, umPerPx) };
}

/** Growth from the second photo's pixels to the first's; pictures of one camera where either has no scale. */
function ratioOf(from: MarkedPhoto, to: MarkedPhoto): number {
  return from.count.scale.umPerPx === null || to.count.scale.umPerPx === null ? 1 : to.umPerPx / from.umPerPx;
}

/** Two photos in the first one's scale. */
function pairOf(from: MarkedPhoto, to: MarkedPhoto): MarkedPair & MarksToCompare {
  const ratio = ratioOf(from, to);
  const slackPx = SLACK_UM / from.umPerPx;
  const second = to.marks.map((mark) => ({ ...mark, x: ratio * mark.x, y: ratio * mark.y, size: ratio * mark.size }));
  const marks = { first: from.marks, second, looks: [from.looks, to.looks] as const, umPerPx: from.umPerPx };
  return {
    ...marks,
    secondMap: new MarkMap(second, 3 * slackPx),
    areAlike: alikeWhenAsked(marks),
    firstWidth: from.count.widthPx,
    firstHeight: from.count.heightPx,
    width: to.count.widthPx * ratio,
    height: to.count.heightPx * ratio,
    cellPx: CELL * slackPx,
    slackPx,
  };
}

/** Ways to lay one photo on another that can be told apart at the slack: shifts, turns and growths. */
function waysOf(pair: MarkedPair): number {
  const { width, height, firstWidth, firstHeight, slackPx } = pair;
  const shifts = ((width + firstWidth) * (height + firstHeight)) / (Math.PI * slackPx ** 2);
  const turns = Math.max(1, (2 * MOST_TURN * CELL) / turnStep(pair));
  return shifts * turns;
}

function withFinds(from: MarkedPhoto, to: MarkedPhoto, evidence: Evidence): Overlap {
  const { map } = evidence;
  return { ...evidence, ...sharedFinds([from, to], map), isUnmoved: isUnmoved(from, map) };
}

/** A way to lay one photo on another, and what its marks say of it. */
interface Candidate extends Evidence {
  /** Base-10 logarithm of the chance that finds which lie on like ones look so very alike though they are others. */
  readonly ofStrangers: number;
}

/** Ways to lay one photo on another that their marks speak for, the likeliest first. */
function candidatesOf(from: MarkedPhoto, to: MarkedPhoto): { candidates: Candidate[]; ways: number } {
  const asked = pairOf(from, to);
  const alike = alikeMarks(asked);
  const pair = { ...asked, areAlike: alikeByTable(alike, to.marks.length) };
  const ways = waysOf(pair);
  const byStrangers = Math.min(0.5, chanceVeryAlike(pair));
  const toOwn = scaled(1 / ratioOf(from, to));
  const candidates: Candidate[] = [];
  for (const lay of voteShifts(pair, alike)) {
    const fit = followMap(pair, mapOf(lay, pair));
    if (fit === null || fit.apart < LEAST_MARKS) continue;
    const map = chained(fit.map, toOwn);
    const byChance = matchesByChance(pair, fit, alike);
    const finds = fit.matches.filter(({ from: one }) => one.index >= 0);
    const ofStrangers = logBinomialTail(finds.length, veryAlike(pair, finds), byStrangers);
    const logFalse = logFalseFits({ matches: fit.apart, byChance }, ways) + ofStrangers;
    const isKnown = candidates.some((one) => Math.hypot(one.map.c - map.c, one.map.f - map.f) < pair.slackPx / 4);
    if (!isKnown) candidates.push({ map, marks: fit.apart, byChance, logFalse, ofStrangers });
  }
  return { candidates: candidates.sort((a, b) => a.logFalse - b.logFalse), ways };
}

/** The likeliest way in which two photos show one place, sure or not; null when they have too little in common. */
function likeliestOverlap(from: MarkedPhoto, to: MarkedPhoto): Overlap | null {
  const { candidates, ways } = candidatesOf(from, to);
  let best: Evidence | null = null;
  for (const { ofStrangers, ...candidate } of candidates.slice(0, MOST_LOOKED_AT)) {
    if (best !== null && best.logFalse <= PLAIN_LOG_FALSE) break;
    // either kind of evidence may do, so chance has two tries
    const byMarks = candidate.logFalse + Math.log10(2);
    const most = MOST_LOG_FALSE - Math.log10(2) - ofStrangers;
    const logFalse =
      byMarks <= PLAIN_LOG_FALSE
        ? byMarks
        : Math.min(byMarks, logFalsePictures([from, to], candidate.map, { ways, most }) + ofStrangers + Math.log10(2));
    if (best === null || logFalse < best.logFalse) best = { ...candidate, logFalse };
  }
  return best === null ? null : withFinds(from, to, best);
}

const isSamePicture = (one: PhotoView, two: PhotoView): boolean =>
  one.width === two.width && one.height === two.height && Buffer.compare(one.data, two.data) === 0;

/** Whether a map leaves every place of the picture where it was: what sits on the lens does so too. */
function isUnmoved({ count, view }: MarkedPhoto, map: Affine): boolean {
  const [right, low] = [count.widthPx - 1, count.heightPx - 1];
  const corners = [
    [0, 0],
    [right, 0],
    [0, low],
    [right, low],
  ] as const;
  return corners.every(([x, y]) => {
    const [u, v] = applied(map, x, y);
    return Math.hypot(u - x, v - y) < UNMOVED * view.factor;
  });
}

/** Whether what is seen is enough to take two photos for one place. */
function isSure(overlap: Overlap): boolean {
  const { marks, logFalse, there, alike, isUnmoved: unmoved } = overlap;
  if (marks < LEAST_MARKS || logFalse > MOST_LOG_FALSE) return false;
  if (unmoved) return alike >= LEAST_FINDS_UNMOVED && alike >= LEAST_SHARE_UNMOVED * there;
  return alike >= LEAST_SHARE * there;
}

/**
 * Whether two photos show one place, and how they lie on each other. Still things (finds and specks, never the ruled lines,
 * which are alike everywhere) must lie on like ones in such number that chance can't bring it about in any of all the ways
 * to lay the photos on each other, and enough of the finds that both must show must look alike.
 *
 * @returns null when they show different places, or share too little to tell
 */
export function findOverlap(from: MarkedPhoto, to: MarkedPhoto): Overlap | null {
  if (isSamePicture(from.view, to.view)) {
    const all = from.marks.length;
    return { map: IDENTITY, marks: all, byChance: 0, logFalse: -Infinity, there: all, alike: all, isUnmoved: true };
  }
  const overlap = likeliestOverlap(from, to);
  return overlap !== null && isSure(overlap) ? overlap : null;
}

/**
 * Two photos that are known to show one place by way of others: the map is made better where their marks allow.
 *
 * @param map of the first photo onto the second, good to some micrometres
 * @returns null when the photos do not meet
 */
export function knownOverlap(from: MarkedPhoto, to: MarkedPhoto, map: Affine): Overlap | null {
  const { widthPx, heightPx } = from.count;
  const steps = [0, 0.25, 0.5, 0.75, 1];
  const meets = steps.some((x) =>
    steps.some((y) => {
      const [u, v] = applied(map, x * (widthPx - 1), y * (heightPx - 1));
      return u >= 0 && v >= 0 && u < to.count.widthPx && v < to.count.heightPx;
    }),
  );
  if (!meets) return null;
  const ratio = ratioOf(from, to);
  const fit = followMap(pairOf(from, to), chained(map, scaled(ratio)));
  const better = fit === null ? map : chained(fit.map, scaled(1 / ratio));
  return withFinds(from, to, { map: better, marks: fit?.apart ?? 0, byChance: 0, logFalse: 0 });
}
