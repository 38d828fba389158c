import type { LinePx, PhotoCalibration } from '../scale/calibration.js';
import { textPath, textWidth } from './stroke-letters.js';

const COLOUR = '#c2185b';
/** Lines longer than so many times the usual one have their own colour, so that tens can be counted. */
const LONG = 1.6;
const LONG_COLOUR = '#0b4fae';
/** How far a line is drawn beyond both its ends, as a share of its length. */
const BEYOND = 0.35;
/** Least length drawn beyond an end, pixels of the drawing. */
const LEAST_BEYOND = 6;

/** Sizes of a drawing, in its own pixels. */
interface Sheet {
  readonly width: number;
  readonly height: number;
  /** Pixels of the drawing a pixel of the photo, 1 or less. */
  readonly scale: number;
}

const at = ([x, y]: readonly [number, number], scale: number): [number, number] => [
  (x + 0.5) * scale,
  (y + 0.5) * scale,
];

/** A short stroke beyond both ends of a line and a hair along it: the line itself stays in sight. */
function drawLine([start, end]: LinePx, sheet: Sheet, { colour, width }: { colour: string; width: number }): string {
  const [x1, y1] = at(start, sheet.scale);
  const [x2, y2] = at(end, sheet.scale);
  const length = Math.max(1e-6, Math.hypot(x2 - x1, y2 - y1));
  const beyond = Math.max(LEAST_BEYOND, BEYOND * Math.min(length, 80));
  const [ux, uy] = [((x2 - x1) / length) * beyond, ((y2 - y1) / length) * beyond];
  const place = (x: number, y: number): string => `${x.toFixed(2)} ${y.toFixed(2)}`;
  const ends = `M${place(x1 - ux, y1 - uy)}L${place(x1, y1)}M${place(x2, y2)}L${place(x2 + ux, y2 + uy)}`;
  const hair = `M${place(x1, y1)}L${place(x2, y2)}`;
  return (
    `<path d="${ends}" stroke="#fff" stroke-opacity=".8" stroke-width="${(2.4 * width).toFixed(2)}"/>` +
    `<path d="${ends}" stroke="${colour}" stroke-width="${width.toFixed(2)}"/>` +
    `<path d="${hair}" stroke="${colour}" stroke-opacity=".75" stroke-width="${(0.5 * width).toFixed(2)}"/>`
  );
}

const lengthOf = ([[x1, y1], [x2, y2]]: LinePx): number => Math.hypot(x2 - x1, y2 - y1);

/** Median length of the lines. */
const usualLength = (lines: readonly LinePx[]): number =>
  lines.map(lengthOf).sort((one, other) => one - other)[lines.length >> 1] ?? 0;

function wordsOf(calibration: PhotoCalibration): string {
  const { umPerPx, relativeStandardUncertainty, quality, target } = calibration;
  const size =
    target.kind === 'ruler'
      ? `${String(target.divisionUm)} µm a division`
      : target.kind === 'grid'
        ? `lines ${String(target.pitchUm)} µm apart`
        : `${String(target.distanceUm)} µm between the points`;
  const lines = target.kind === 'points' ? '' : `, ${String(quality.lines)} lines`;
  return `${umPerPx.toPrecision(5)} µm/px, uncertain by ${(100 * relativeStandardUncertainty).toFixed(2)} %: ${size}${lines}`;
}

/**
 * SVG of the lines a calibration rests on and, in a strip below, what it says.
 *
 * @param sheet size of the photo in the drawing
 */
export function drawCalibration(
  calibration: PhotoCalibration,
  sheet: Sheet,
): { readonly svg: string; readonly legendHeight: number } {
  const width = Math.max(1.2, Math.max(sheet.width, sheet.height) / 1800);
  const words = wordsOf(calibration);
  const fitting = (0.94 * sheet.width) / textWidth(words, 1);
  const height = Math.min(9 * width, fitting);
  const legendHeight = Math.ceil(3 * height);
  const long = LONG * usualLength(calibration.linesPx);
  const lines = calibration.linesPx.map((line) =>
    drawLine(line, sheet, { colour: lengthOf(line) > long ? LONG_COLOUR : COLOUR, width }),
  );
  const writing = textPath(words, 0.03 * sheet.width, sheet.height + height, height);
  const size = `width="${String(sheet.width)}" height="${String(sheet.height + legendHeight)}"`;
  const body = `${lines.join('')}<path d="${writing}" stroke="#000" stroke-width="${(height / 8).toFixed(2)}"/>`;
  return {
    svg: `<svg xmlns="http://www.w3.org/2000/svg" ${size}><g fill="none" stroke-linecap="round">${body}</g></svg>`,
    legendHeight,
  };
}
