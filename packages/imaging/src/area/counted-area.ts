import type { CountedShape, Counting, CountingRule, Field, Square } from '@veligrid/model';
import type { Outline } from '../raster.js';
import { twoSidesSquare } from './two-sides.js';
import { inRegion, regionArea, shrunkRegion, usableRegion, type Region } from './usable-region.js';

/** How the counted area is chosen. */
export interface CountedAreaOptions {
  /** Rule at its edges. Default `centroid`. */
  readonly rule?: CountingRule;
  /** `squares`: whole ruled squares where there are any, else the field; `field`: always the field. Default `squares`. */
  readonly area?: 'squares' | 'field';
}

/** The picture and its ruled lines, as far as the counted area needs them. */
export interface AreaScene {
  readonly width: number;
  readonly height: number;
  readonly field: Field;
  /** Micrometres per pixel, mean over the picture; null without a scale. */
  readonly umPerPx: number | null;
  /** Scale at a place over that of the picture. Default 1 everywhere. */
  readonly localScale?: (x: number, y: number) => number;
  readonly squares: {
    readonly pitchUm: number;
    readonly whole: readonly Square[];
    /** Grid coordinates of a point in pixels, one a square. */
    readonly toGrid: (x: number, y: number) => readonly [number, number];
    /** Name of the whole square that holds a point in pixels. */
    readonly nameAt: (x: number, y: number) => string | null;
  } | null;
}

/** An object that may be counted. */
export interface AreaObject {
  readonly x: number;
  readonly y: number;
  readonly outline: Outline;
}

/** The counted area, and whether an object belongs to it. */
export interface CountedArea {
  readonly counting: Pick<Counting, 'rule' | 'shape' | 'areaMm2' | 'marginPx'>;
  readonly holds: (object: AreaObject) => boolean;
}

/** Kept at least, micrometres: a photo with few larvae may show none of the larger ones. Half a D-larva. */
const LEAST_MARGIN_UM = 45;
/** The largest object seen is not the largest there is. */
const ROOM = 1.05;
/** Places along each side at which the local scale is looked at. */
const SCALE_SAMPLES = 32;

/** Distance from an object's centroid to the farthest point of its outline. */
function reachOf({ x, y, outline }: AreaObject): number {
  let most = 0;
  for (let pos = 0; pos < outline.length; pos += 2) {
    most = Math.max(most, Math.hypot(outline[pos] - x, outline[pos + 1] - y));
  }
  return most;
}

/** Largest upright box in a region; with a circle, the square in it cut by the box. */
function boxIn({ left, top, right, bottom, circle }: Region): Region {
  if (circle === null) return { left, top, right, bottom, circle };
  const half = circle.radius / Math.SQRT2;
  return {
    left: Math.max(left, circle.x - half),
    top: Math.max(top, circle.y - half),
    right: Math.min(right, circle.x + half),
    bottom: Math.min(bottom, circle.y + half),
    circle: null,
  };
}

function fieldMm2(region: Region, { umPerPx, localScale }: AreaScene): number | null {
  if (umPerPx === null) return null;
  let sum = 0;
  let count = 0;
  for (let row = 0; localScale !== undefined && row < SCALE_SAMPLES; row++) {
    for (let column = 0; column < SCALE_SAMPLES; column++) {
      const x = region.left + ((column + 0.5) * (region.right - region.left)) / SCALE_SAMPLES;
      const y = region.top + ((row + 0.5) * (region.bottom - region.top)) / SCALE_SAMPLES;
      if (!inRegion(region, x, y)) continue;
      sum += localScale(x, y) ** 2;
      count++;
    }
  }
  return (regionArea(region) * (count > 0 ? sum / count : 1) * umPerPx ** 2) / 1e6;
}

const mapped = (outline: Outline, to: (x: number, y: number) => readonly [number, number]): Outline => {
  const there = new Float64Array(outline.length);
  for (let pos = 0; pos < outline.length; pos += 2) there.set(to(outline[pos], outline[pos + 1]), pos);
  return there;
};

/** Whole squares that lie in the shrunk field, so that what is counted in them is whole. */
function squaresArea(scene: AreaScene, room: Region, rule: CountingRule, marginPx: number): CountedArea | null {
  const { squares } = scene;
  if (squares === null) return null;
  const names = squares.whole
    .filter(({ cornersPx }) => cornersPx.every(([x, y]) => inRegion(room, x, y)))
    .map(({ name }) => name);
  if (names.length === 0) return null;
  const counted = new Set(names);
  const areaMm2 = scene.umPerPx === null ? null : names.length * (squares.pitchUm / 1000) ** 2;
  const belongs = (name: string | null): boolean => name !== null && counted.has(name);
  return {
    counting: { rule, shape: { kind: 'squares', squares: names }, areaMm2, marginPx },
    holds: (object) => {
      if (rule === 'centroid') return belongs(squares.nameAt(object.x, object.y));
      const square = twoSidesSquare(mapped(object.outline, squares.toGrid));
      if (square === null) return false;
      const middle = squares.whole.find(({ cornersPx }) => isSquareAt(squares.toGrid, cornersPx, square));
      return belongs(middle?.name ?? null);
    },
  };
}

/** Whether the square with these corners has its first corner at a column and row of the grid. */
function isSquareAt(
  toGrid: (x: number, y: number) => readonly [number, number],
  [[x, y]]: readonly (readonly [number, number])[],
  [column, row]: readonly [number, number],
): boolean {
  const [u, v] = toGrid(x, y);
  return Math.round(u) === column && Math.round(v) === row;
}

function shapeOf({ left, top, right, bottom, circle }: Region): CountedShape {
  const at = (value: number): number => Math.round(value * 100) / 100;
  const boxPx = [at(left), at(top), at(right), at(bottom)] as const;
  if (circle === null) return { kind: 'field', boxPx };
  return { kind: 'field', boxPx, circle: { centrePx: [at(circle.x), at(circle.y)], radiusPx: at(circle.radius) } };
}

function fieldArea(scene: AreaScene, room: Region, rule: CountingRule, marginPx: number): CountedArea {
  const region = rule === 'centroid' ? room : boxIn(room);
  const { left, top, right, bottom } = region;
  const toBox = (x: number, y: number): readonly [number, number] => [
    (x - left) / (right - left),
    (y - top) / (bottom - top),
  ];
  return {
    counting: { rule, shape: shapeOf(region), areaMm2: fieldMm2(region, scene), marginPx },
    holds: (object) => {
      if (rule === 'centroid') return inRegion(region, object.x, object.y);
      const square = twoSidesSquare(mapped(object.outline, toBox));
      return square?.[0] === 0 && square[1] === 0;
    },
  };
}

/**
 * Chooses the area that a photo's count is of: whole ruled squares, or the frame or round field without a rim so wide
 * that every object counted by the rule is whole.
 *
 * @param objects eggs, embryos and larvae of the photo, cut ones included: the rim is as wide as the largest needs
 * @returns the area; one of size 0 that holds nothing when the objects are too large for the photo
 */
export function countedArea(
  scene: AreaScene,
  objects: readonly AreaObject[],
  { rule = 'centroid', area = 'squares' }: CountedAreaOptions = {},
): CountedArea {
  const least = scene.umPerPx === null ? 0 : LEAST_MARGIN_UM / scene.umPerPx;
  const reach = objects.reduce((most, object) => Math.max(most, reachOf(object)), least);
  // by its sides an object may lie outside but for its edge
  const marginPx = Math.ceil(ROOM * reach * (rule === 'centroid' ? 1 : 2));
  const room = shrunkRegion(usableRegion(scene.width, scene.height, scene.field), marginPx);
  if (room === null) {
    const shape: CountedShape = { kind: 'field', boxPx: [0, 0, 0, 0] };
    return { counting: { rule, shape, areaMm2: scene.umPerPx === null ? null : 0, marginPx }, holds: () => false };
  }
  const bySquares = area === 'squares' ? squaresArea(scene, room, rule, marginPx) : null;
  return bySquares ?? fieldArea(scene, room, rule, marginPx);
}
