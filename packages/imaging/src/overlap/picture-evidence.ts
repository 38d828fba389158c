import { applied, type Affine } from './affine.js';
import { logBinomialTail } from './evidence.js';
import { likeness } from './likeness.js';
import type { Mark } from './marks.js';
import { sizeOf } from './marks.js';
import type { PhotoView } from './photo-view.js';
import type { PhotoCount } from '@veligrid/model';

/** A photo with its marks. */
export interface PicturedMarks {
  readonly count: PhotoCount;
  readonly view: PhotoView;
  readonly umPerPx: number;
  readonly marks: readonly Mark[];
}

/** A thing whose picture is looked for in the other photo. */
interface Patch {
  readonly x: number;
  readonly y: number;
  readonly size: number;
}

/** Least correlation of the pictures of one thing. */
const ALIKE = 0.75;
/** Below this correlation the same thing does not lie a pixel of the copy beside. */
const WORTH_SEARCHING = 0.4;
const BESIDE = [-1, 0, 1]
  .flatMap((dx) => [-1, 0, 1].map((dy) => [dx, dy] as const))
  .filter(([dx, dy]) => dx !== 0 || dy !== 0);
/** Things looked at, at most, spread over what both photos show. */
const MOST_PATCHES = 40;
/** Other places at which each is compared to know how often chance makes it look alike. */
const ELSEWHERE = 24;
/** They lie this far off, micrometres: beyond the thing itself, but among things as dense. */
const [NEAREST_UM, FARTHEST_UM] = [120, 700];
/** Size that specks are given, micrometres; those this near a find are part of it. */
const SPECK_UM = 40;

/** Things of a photo of which no two are one: all finds, cut or not, and the specks beside them. */
function patchesOf({ count, marks, umPerPx }: PicturedMarks): Patch[] {
  const finds = count.detections.map((one) => ({ x: one.x, y: one.y, size: sizeOf(one) }));
  const reach = SPECK_UM / 2 / umPerPx;
  const specks = marks
    .filter(({ index }) => index < 0)
    .filter(({ x, y }) => finds.every((one) => Math.hypot(one.x - x, one.y - y) > one.size / 2 + reach))
    .map(({ x, y }) => ({ x, y, size: SPECK_UM / umPerPx }));
  return [...finds, ...specks];
}

/** Whether a picture looks alike at a place of the other photo or right beside it; null where it isn't in sight. */
function looksAlike(views: readonly [PhotoView, PhotoView], map: Affine, patch: Patch): boolean | null {
  const here = likeness(views, map, patch);
  if (here === null || here >= ALIKE) return here === null ? null : true;
  if (here < WORTH_SEARCHING) return false;
  const step = views[1].factor;
  return BESIDE.some(
    ([dx, dy]) => (likeness(views, { ...map, c: map.c + dx * step, f: map.f + dy * step }, patch) ?? -1) >= ALIKE,
  );
}

/** Shifts to other places: a spiral of the golden angle, evenly spread and the same in every run. */
function elsewhere(umPerPx: number): (readonly [number, number])[] {
  return Array.from({ length: ELSEWHERE }, (_, k) => {
    const far = (NEAREST_UM + ((FARTHEST_UM - NEAREST_UM) * (k + 0.5)) / ELSEWHERE) / umPerPx;
    const way = k * Math.PI * (3 - Math.sqrt(5));
    return [far * Math.cos(way), far * Math.sin(way)] as const;
  });
}

/** Things of the first photo that come to lie in the second, some of them where they are many. */
function patchesInSight([from, to]: readonly [PicturedMarks, PicturedMarks], map: Affine): Patch[] {
  const { widthPx, heightPx } = to.count;
  const inSight = patchesOf(from).filter((one) => {
    const [x, y] = applied(map, one.x, one.y);
    return x > -one.size / 2 && y > -one.size / 2 && x < widthPx + one.size / 2 && y < heightPx + one.size / 2;
  });
  const every = Math.max(1, inSight.length / MOST_PATCHES);
  return inSight.filter((_, k) => Math.floor(k / every) !== Math.floor((k - 1) / every));
}

/**
 * Base-10 logarithm of the number of ways to lay one photo on another, of all that can be told apart, in which chance
 * alone would make so many things look alike in both. How often chance does it is measured in the photos themselves, at
 * other places near by.
 *
 * @param map of the first photo onto the second
 * @param ways number of ways, 1 or more
 * @param most what is more than this need not be exact
 */
export function logFalsePictures(
  photos: readonly [PicturedMarks, PicturedMarks],
  map: Affine,
  { ways, most }: { readonly ways: number; readonly most: number },
): number {
  const [from, to] = photos;
  const views = [from.view, to.view] as const;
  const seen = patchesInSight(photos, map).flatMap((patch) => {
    const isAlike = looksAlike(views, map, patch);
    return isAlike === null ? [] : [{ patch, isAlike }];
  });
  const alike = seen.filter(({ isAlike }) => isAlike).length;
  const logFalse = (byChance: number): number =>
    Math.log10(Math.max(1, ways)) + logBinomialTail(seen.length, alike, Math.min(0.5, byChance));
  // were all else unlike
  const least = logFalse(1 / (seen.length * ELSEWHERE + 1));
  if (least > most) return least;
  const shifts = elsewhere(to.umPerPx);
  const others = seen.flatMap(({ patch }) =>
    shifts.map(([dx, dy]) => looksAlike(views, { ...map, c: map.c + dx, f: map.f + dy }, patch)),
  );
  const told = others.filter((one) => one !== null);
  return logFalse((told.filter(Boolean).length + 1) / (told.length + 1));
}
