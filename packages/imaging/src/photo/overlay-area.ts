import type { CountedShape, PhotoCount } from '@veligrid/model';

/** Colour of the counted area and its rule; told from the grid by its broad line as well. */
export const AREA_COLOUR = '#7b3294';
/** Line width over that of an outline. */
const BROAD = 2.2;

const at = (px: number, scale: number): string => ((px + 0.5) * scale).toFixed(1);

const pathOf = (points: readonly (readonly [number, number])[], scale: number): string =>
  `M${points.map(([x, y]) => `${at(x, scale)} ${at(y, scale)}`).join('L')}`;

/** What is drawn with. */
interface Pen {
  /** Pixels of the drawing a pixel of the photo. */
  readonly scale: number;
  /** Width of an outline. */
  readonly lineWidthPx: number;
}

/** One part of the area's border: full when what touches it is in or by centroid, dashed when that is out. */
function side(points: readonly (readonly [number, number])[], { scale, lineWidthPx }: Pen, out: boolean): string {
  const dash = out ? ` stroke-dasharray="${(3 * lineWidthPx).toFixed(1)} ${(5 * lineWidthPx).toFixed(1)}"` : '';
  return `<path d="${pathOf(points, scale)}" stroke="${AREA_COLOUR}" stroke-width="${(BROAD * lineWidthPx).toFixed(2)}"${dash}/>`;
}

/** Border of a square or box given by its corners clockwise from top left. */
function border(
  corners: readonly (readonly [number, number])[],
  pen: Pen,
  rule: PhotoCount['counting']['rule'],
): string {
  const [topLeft, topRight, bottomRight, bottomLeft] = corners;
  const out = rule === 'two-sides';
  return side([bottomLeft, topLeft, topRight], pen, out) + side([topRight, bottomRight, bottomLeft], pen, false);
}

function arc({ circle }: Extract<CountedShape, { kind: 'field' }>, { scale, lineWidthPx }: Pen): string {
  if (circle === undefined) return '';
  const [x, y] = circle.centrePx;
  const width = (BROAD * lineWidthPx).toFixed(2);
  return `<circle cx="${at(x, scale)}" cy="${at(y, scale)}" r="${(circle.radiusPx * scale).toFixed(1)}" stroke="${AREA_COLOUR}" stroke-width="${width}"/>`;
}

/** The counted area's border, drawn broad; with the rule of two sides the sides that are out are dashed. */
export function drawCountedArea({ counting, grid }: PhotoCount, pen: Pen): string {
  const { shape, rule } = counting;
  if (shape.kind === 'squares') {
    const names = new Set(shape.squares);
    const squares = (grid?.squares ?? []).filter(({ name }) => names.has(name));
    return squares.map(({ cornersPx }) => border(cornersPx, pen, rule)).join('');
  }
  const [left, top, right, bottom] = shape.boxPx;
  const corners = [
    [left, top],
    [right, top],
    [right, bottom],
    [left, bottom],
  ] as const;
  return border(corners, pen, rule) + arc(shape, pen);
}

/** The rule and the count by it, for the legend. */
export function ruleWords({ counting, detections }: PhotoCount): string {
  const inside = detections.filter((one) => one.counted && one.inArea).length;
  const mm2 = counting.areaMm2 === null ? '' : ` of ${counting.areaMm2.toFixed(2)} mm2`;
  return `counted area${mm2}: ${String(inside)} by ${counting.rule} rule`;
}
