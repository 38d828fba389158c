import { STAGE_MARKS, STAGES, type Detection, type PhotoCount } from '@veligrid/model';
import { standingOf, type Standing } from './overlay-marks.js';
import { AREA_COLOUR, drawCountedArea, ruleWords } from './overlay-area.js';
import { textPath, textWidth } from './stroke-letters.js';

/** Sizes of a drawing, in its own pixels. */
export interface Sheet {
  readonly width: number;
  readonly height: number;
  /** Pixels of the drawing a pixel of the photo, 1 or less. */
  readonly scale: number;
}

/** Dash and gap in line widths. */
const DASHES: Readonly<Record<Standing, readonly number[]>> = {
  measured: [],
  'counted-only': [5, 3],
  'not-counted': [1, 2.5],
};
const GRID_COLOUR = '#008b8b';

/** Width of an outline in pixels: 2 on a drawing 2,800 px long, never under 1.2. */
const lineWidth = ({ width, height }: Sheet): number => Math.max(1.2, Math.max(width, height) / 1400);

/** Height of the small numbers. */
const letterHeight = (sheet: Sheet): number => 5 * lineWidth(sheet);

const pointsOf = (points: readonly (readonly [number, number])[], scale: number): string =>
  points.map(([x, y]) => `${((x + 0.5) * scale).toFixed(1)} ${((y + 0.5) * scale).toFixed(1)}`).join('L');

/** A colour as light as this (relative luminance, WCAG 2.2, 0 to 1) is lost on a bright ground. */
const PALE = 0.35;

/** Relative luminance of `#rrggbb`, 0..1 (WCAG 2.2, "relative luminance"). */
function luminance(colour: string): number {
  const [red = 0, green = 0, blue = 0] = [1, 3, 5].map((at) => {
    const part = parseInt(colour.slice(at, at + 2), 16) / 255;
    return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}

/** The path twice: a broad one below, dark under a pale colour and white under a dark one, so that it shows on any ground. */
function stroked(path: string, colour: string, width: number, more = ''): string {
  const below = luminance(colour) > PALE ? 'stroke="#222" stroke-opacity=".75"' : 'stroke="#fff" stroke-opacity=".7"';
  const halo = `<path d="${path}" ${below} stroke-width="${(2.2 * width).toFixed(2)}"/>`;
  return `${halo}<path d="${path}" stroke="${colour}" stroke-width="${width.toFixed(2)}"${more}/>`;
}

/** Attribute for a dashed or dotted line of a width, nothing for a full one. */
function dashes(standing: Standing, width: number): string {
  const parts = DASHES[standing].map((part) => (part * width).toFixed(1));
  return parts.length === 0 ? '' : ` stroke-dasharray="${parts.join(' ')}"`;
}

function drawDetection(detection: Detection, sheet: Sheet): string {
  const width = lineWidth(sheet);
  const mark = STAGE_MARKS[detection.stage];
  const standing = standingOf(detection);
  const outline = `M${pointsOf(detection.outline, sheet.scale)}Z`;
  const height = letterHeight(sheet);
  const right = Math.max(...detection.outline.map(([x]) => x), detection.x);
  const label = standing === 'not-counted' ? mark.sign : `${mark.sign}${detection.id.replace(/^\D+/, '')}`;
  const x = Math.min((right + 1) * sheet.scale + 2 * width, sheet.width - textWidth(label, height) - width);
  const y = Math.max(width, (detection.y + 0.5) * sheet.scale - height / 2);
  const writing = stroked(textPath(label, x, y, height), mark.colour, 0.8 * width);
  return stroked(outline, mark.colour, width, dashes(standing, width)) + writing;
}

function drawGrid(count: PhotoCount, sheet: Sheet): string {
  const width = 0.6 * lineWidth(sheet);
  const height = letterHeight(sheet);
  return (count.grid?.squares ?? [])
    .map(({ name, cornersPx }) => {
      const [x, y] = cornersPx[0] ?? [0, 0];
      const writing = textPath(name, x * sheet.scale + height, y * sheet.scale + height, height);
      return stroked(`M${pointsOf(cornersPx, sheet.scale)}Z${writing}`, GRID_COLOUR, width);
    })
    .join('');
}

function drawField({ field }: PhotoCount, sheet: Sheet): string {
  if (field.kind === 'frame') return '';
  const width = lineWidth(sheet);
  const [x, y] = field.centrePx.map((value) => ((value + 0.5) * sheet.scale).toFixed(1));
  const radius = (field.radiusPx * sheet.scale).toFixed(1);
  const dash = `${(6 * width).toFixed(1)} ${(4 * width).toFixed(1)}`;
  return `<circle cx="${x}" cy="${y}" r="${radius}" stroke="${GRID_COLOUR}" stroke-width="${width.toFixed(2)}" stroke-dasharray="${dash}"/>`;
}

/** Longest of 1, 2 or 5 times a power of ten micrometres that fits in a length in micrometres. */
export function barLengthUm(room: number): number {
  const power = 10 ** Math.floor(Math.log10(room));
  return power * ([5, 2, 1].find((step) => step * power <= room) ?? 1);
}

function drawBar({ scale }: PhotoCount, sheet: Sheet, top: number): string {
  const width = lineWidth(sheet);
  const height = 1.4 * letterHeight(sheet);
  const right = sheet.width - height;
  if (scale.umPerPx === null) {
    const words = 'no scale';
    return `<path d="${textPath(words, right - textWidth(words, height), top, height)}" stroke="#000" stroke-width="${width.toFixed(2)}"/>`;
  }
  const umPerPx = scale.umPerPx / sheet.scale;
  const um = barLengthUm(0.2 * sheet.width * umPerPx);
  const left = right - um / umPerPx;
  const words = um >= 1000 ? `${String(um / 1000)} mm` : `${String(um)} µm`;
  const y = (top + 1.9 * height).toFixed(1);
  const bar = `<path d="M${left.toFixed(1)} ${y}H${right.toFixed(1)}" stroke="#000" stroke-width="${(2.5 * width).toFixed(2)}"/>`;
  const at = (left + right - textWidth(words, height)) / 2;
  return `${bar}<path d="${textPath(words, at, top, height)}" stroke="#000" stroke-width="${width.toFixed(2)}"/>`;
}

/** One entry of the legend: sign in its colour, then what it says. */
interface Entry {
  readonly colour: string;
  readonly dash: Standing;
  readonly words: string;
}

function legendEntries(count: PhotoCount): Entry[] {
  const stages = STAGES.flatMap((stage): Entry[] => {
    const number = count.detections.filter((one) => one.stage === stage).length;
    const { colour, sign, name } = STAGE_MARKS[stage];
    return number === 0 ? [] : [{ colour, dash: 'measured', words: `${sign} ${name} ${String(number)}` }];
  });
  const withStanding = (wanted: Standing): number =>
    count.detections.filter((one) => standingOf(one) === wanted).length;
  const counted = withStanding('measured') + withStanding('counted-only');
  const colour = '#000';
  return [
    { colour, dash: 'measured', words: `counted ${String(counted)} - not signed off` },
    { colour, dash: 'counted-only', words: `not in lengths ${String(withStanding('counted-only'))}` },
    { colour: AREA_COLOUR, dash: 'measured', words: ruleWords(count) },
    { colour, dash: 'not-counted', words: `not counted ${String(withStanding('not-counted'))}` },
    ...stages,
  ];
}

/** Legend laid out in rows, and the height it needs. */
function drawLegend(count: PhotoCount, sheet: Sheet, top: number): { svg: string; height: number } {
  const width = lineWidth(sheet);
  const height = 1.4 * letterHeight(sheet);
  const room = 0.7 * sheet.width;
  let x = height;
  let y = top + height;
  const parts: string[] = [];
  for (const { colour, dash, words } of legendEntries(count)) {
    const capitals = words.toUpperCase();
    const entryWidth = textWidth(capitals, height) + 5 * height;
    if (x > height && x + entryWidth > room) {
      x = height;
      y += 2 * height;
    }
    const middle = (y + height / 2).toFixed(1);
    parts.push(
      `<path d="M${x.toFixed(1)} ${middle}h${(1.5 * height).toFixed(1)}" stroke="${colour}" stroke-width="${(2 * width).toFixed(2)}"${dashes(dash, width)}/>`,
      `<path d="${textPath(capitals, x + 2.3 * height, y, height)}" stroke="#000" stroke-width="${width.toFixed(2)}"/>`,
    );
    x += entryWidth;
  }
  return { svg: parts.join(''), height: Math.ceil(y + 2 * height - top) };
}

/** What is drawn over a photo, and the height of the legend below it. */
export interface OverlayDrawing {
  readonly svg: string;
  readonly legendHeight: number;
}

/**
 * Draws a count as SVG over its photo: outlines coloured and lettered by stage (dashed when left out of length figures,
 * dotted when not counted), squares, the round field, and a legend with scale bar in a strip below the photo.
 *
 * @param count what was found, in pixels of the photo
 * @param sheet size of the photo in the drawing
 */
export function drawOverlay(count: PhotoCount, sheet: Sheet): OverlayDrawing {
  const legend = drawLegend(count, sheet, sheet.height);
  const body = [
    drawGrid(count, sheet),
    drawField(count, sheet),
    drawCountedArea(count, { scale: sheet.scale, lineWidthPx: lineWidth(sheet) }),
    ...count.detections.map((detection) => drawDetection(detection, sheet)),
    legend.svg,
    drawBar(count, sheet, sheet.height + 1.4 * letterHeight(sheet)),
  ].join('');
  const size = `width="${String(sheet.width)}" height="${String(sheet.height + legend.height)}"`;
  const style = 'fill="none" stroke-linecap="round" stroke-linejoin="round"';
  return {
    svg: `<svg xmlns="http://www.w3.org/2000/svg" ${size}><g ${style}>${body}</g></svg>`,
    legendHeight: legend.height,
  };
}
