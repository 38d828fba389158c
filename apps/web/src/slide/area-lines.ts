import type { PhotoCount, Square } from '@veligrid/model';
import type { Line } from './outline-data.js';
import type { AreaLine } from './outline-painter.js';

/** The same colours as on printed overlays: ruled squares thin and green-blue, the counted area broad and purple. */
const GRID_COLOUR = '#008b8b';
const AREA_COLOUR = '#7b3294';
const THIN = 0.6;
const BROAD = 1.8;

type Corners = Square['cornersPx'];

/** Border of the counted area; with the rule of two sides those that are out are dashed. */
function border(corners: Corners, twoSides: boolean): AreaLine[] {
  const base = { colour: AREA_COLOUR, width: BROAD, closed: false };
  const [topLeft, topRight, bottomRight, bottomLeft] = corners;
  if (topLeft === undefined || topRight === undefined || bottomRight === undefined || bottomLeft === undefined) {
    return [];
  }
  const out: Line = twoSides ? 'dashed' : 'whole';
  return [
    { ...base, points: [bottomLeft, topLeft, topRight], line: out },
    { ...base, points: [topRight, bottomRight, bottomLeft], line: 'whole' },
  ];
}

function countedArea({ counting, grid }: PhotoCount, chosen: readonly string[] | null): AreaLine[] {
  const { shape, rule } = counting;
  const names = chosen ?? (shape.kind === 'squares' ? shape.squares : null);
  if (names !== null) {
    return (grid?.squares ?? [])
      .filter(({ name }) => names.includes(name))
      .flatMap(({ cornersPx }) => border(cornersPx, rule === 'two-sides'));
  }
  if (shape.kind === 'squares') return [];
  const [left, top, right, bottom] = shape.boxPx;
  const box: Corners = [
    [left, top],
    [right, top],
    [right, bottom],
    [left, bottom],
  ];
  return [...border(box, rule === 'two-sides'), ...circleOf(shape)];
}

function circleOf(shape: Extract<PhotoCount['counting']['shape'], { kind: 'field' }>): AreaLine[] {
  if (shape.circle === undefined) return [];
  const { centrePx, radiusPx } = shape.circle;
  return [{ points: [centrePx], radiusPx, closed: true, colour: AREA_COLOUR, width: BROAD, line: 'whole' }];
}

/**
 * Lines of squares, round field and counted area of a photo.
 *
 * @param chosen squares that staff chose to count, or null for those of the count
 */
export function areaLines(count: PhotoCount, chosen: readonly string[] | null): AreaLine[] {
  const squares = (count.grid?.squares ?? []).map(({ name, cornersPx }): AreaLine => ({
    points: cornersPx,
    closed: true,
    colour: GRID_COLOUR,
    width: THIN,
    line: 'whole',
    name,
  }));
  return [...squares, ...countedArea(count, chosen)];
}
