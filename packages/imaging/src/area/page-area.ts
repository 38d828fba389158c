import type { Counting } from '@veligrid/model';
import { rounded } from '../rounded.js';
import type { GridFit } from '../grid/find-grid.js';
import { pxToGrid } from '../grid/grid-geometry.js';
import { squareAt } from '../grid/squares.js';
import type { Scene } from '../measure/measure-object.js';
import type { Outline } from '../raster.js';
import { countedArea, type AreaObject, type CountedAreaOptions } from './counted-area.js';
import { inclusionWeight } from './inclusion-weight.js';
import { usableRegion } from './usable-region.js';

/** Where one object lies. */
export interface Place {
  /** Ruled square that holds the centroid, or null. */
  readonly square: string | null;
  readonly inArea: boolean;
  readonly inclusionWeight: number | null;
}

/** The counted area of a page. */
export interface PageArea {
  readonly counting: Counting;
  /** Place of an object of the page; `cut` when it may go on beyond the picture. */
  readonly placeOf: (x: number, y: number, outline: Outline, cut: boolean) => Place;
}

/** What is wanted of the counted area. */
export interface PageAreaOptions extends CountedAreaOptions {
  /** Name of the field that was drawn at random for this photo. Default none: the count then says so. */
  readonly drawnField?: string;
}

/**
 * The area that a page's count is of, see `countedArea`.
 *
 * @param grid ruled lines, or null
 * @param larvae eggs, embryos and larvae of the page, cut ones included
 */
export function pageArea(
  scene: Scene,
  grid: GridFit | null,
  larvae: readonly AreaObject[],
  options: PageAreaOptions,
): PageArea {
  const { raster, field, scale, localScale } = scene;
  const squares = grid && {
    pitchUm: grid.pitchUm,
    whole: grid.squares,
    toGrid: (x: number, y: number) => pxToGrid(grid.geometry, x, y),
    nameAt: (x: number, y: number) => squareAt(grid, x, y),
  };
  const { width, height } = raster;
  const local = localScale === undefined ? {} : { localScale };
  const area = countedArea({ width, height, field, umPerPx: scale.umPerPx, squares, ...local }, larvae, options);
  const usable = usableRegion(width, height, field);
  const { drawnField = null } = options;
  return {
    counting: {
      ...area.counting,
      areaMm2: rounded(area.counting.areaMm2, 6),
      drawnField,
      flags: drawnField === null ? ['fields-not-random'] : [],
    },
    placeOf: (x, y, outline, cut) => ({
      square: grid === null ? null : squareAt(grid, x, y),
      inArea: area.holds({ x, y, outline }),
      inclusionWeight: cut ? null : inclusionWeight(usable, outline),
    }),
  };
}
