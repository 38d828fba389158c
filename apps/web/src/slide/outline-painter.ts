import { LINES, type Line, type PackedOutlines } from './outline-data.js';

/** Part of the photo that a bitmap shows. */
export interface Frame {
  /** Left and top of the bitmap in pixels of the photo. */
  readonly left: number;
  readonly top: number;
  /** Pixels of the bitmap a pixel of the photo. */
  readonly scale: number;
  /** Size of the bitmap. */
  readonly width: number;
  readonly height: number;
  /** Width of a line in pixels of the bitmap. */
  readonly lineWidth: number;
  /** The view moves: what is painted is replaced in a moment, and speed counts for more than looks. */
  readonly inPassing: boolean;
}

/** Dash and gap in line widths. */
const DASHES: Readonly<Record<Line, readonly number[]>> = { whole: [], dashed: [5, 3], dotted: [1, 2.5] };

/** Below this many bitmap pixels between corners some are skipped: they would fall on one another. */
const STEP_PX = 1.2;
const PLAIN_STEP_PX = 2;

type Pen = OffscreenCanvasRenderingContext2D | CanvasRenderingContext2D;

/** A line of the squares, the field or the counted area. */
export interface AreaLine {
  /** Corners in pixels of the photo; a circle has its middle and its radius instead. */
  readonly points: readonly (readonly [number, number])[];
  readonly radiusPx?: number;
  readonly closed: boolean;
  readonly colour: string;
  /** Width over that of an outline. */
  readonly width: number;
  readonly line: Line;
  /** Written inside the first corner. */
  readonly name?: string;
}

/** Whether a colour is so pale that it wants a dark line below it on a bright ground. */
function isPale(colour: string): boolean {
  const [r = 0, g = 0, b = 0] = [1, 3, 5].map((at) => parseInt(colour.slice(at, at + 2), 16));
  return 0.2126 * r + 0.7152 * g + 0.0722 * b > 140;
}

/** Strokes the present path twice: a broad soft line below, so that it shows on any ground, then the colour. */
export function strokeTwice(pen: Pen, colour: string, line: Line, width: number): void {
  pen.setLineDash([]);
  pen.strokeStyle = isPale(colour) ? 'rgb(20 26 28 / 70%)' : 'rgb(255 255 255 / 65%)';
  pen.lineWidth = 2.2 * width;
  pen.stroke();
  pen.setLineDash(DASHES[line].map((part) => part * width));
  pen.strokeStyle = colour;
  pen.lineWidth = width;
  pen.stroke();
}

/** What outlines look like, by the index of their stage. */
export interface Marks {
  readonly colours: readonly string[];
  readonly signs: readonly string[];
}

/** Above this many outlines in view their signs would lie on one another. */
const MOST_SIGNS = 700;

/** An outline this low, in line widths, is too small on screen for a sign beside it. */
const LEAST_HEIGHT = 8;

/**
 * Above this many outlines in view each is a thin line: they are a few pixels across then, a broad line below would only
 * blur them, and without a graphics card it makes painting four times as slow (npm run bench:viewer).
 */
const MOST_BROAD = 1500;

/** Where an outline was drawn in the bitmap. */
interface Traced {
  readonly right: number;
  readonly middle: number;
  readonly height: number;
}

/** A corner in pixels of the bitmap. */
const cornerAt = (corners: Float32Array, corner: number, { left, top, scale }: Frame): [number, number] => [
  ((corners[2 * corner] ?? 0) + 0.5 - left) * scale,
  ((corners[2 * corner + 1] ?? 0) + 0.5 - top) * scale,
];

/** An outline is small beside the frame, so its first corner with a margin tells whether it can be seen. */
function isInFrame({ corners, starts }: PackedOutlines, i: number, frame: Frame): boolean {
  const [x, y] = cornerAt(corners, starts[i] ?? 0, frame);
  const margin = 400 * frame.scale;
  return x > -margin && y > -margin && x < frame.width + margin && y < frame.height + margin;
}

/** Traces outline i, leaving out corners nearer than a step in pixels of the bitmap. */
function trace(
  pen: Pen,
  { corners, starts }: PackedOutlines,
  i: number,
  { frame, step }: { readonly frame: Frame; readonly step: number },
): Traced {
  const first = starts[i] ?? 0;
  const end = starts[i + 1] ?? 0;
  const [x0, y0] = cornerAt(corners, first, frame);
  pen.beginPath();
  pen.moveTo(x0, y0);
  let [lastX, lastY] = [x0, y0];
  let [right, high, low] = [x0, y0, y0];
  for (let corner = first + 1; corner < end; corner++) {
    const [x, y] = cornerAt(corners, corner, frame);
    if (Math.abs(x - lastX) + Math.abs(y - lastY) < step) continue;
    pen.lineTo(x, y);
    [lastX, lastY] = [x, y];
    right = Math.max(right, x);
    high = Math.min(high, y);
    low = Math.max(low, y);
  }
  pen.closePath();
  return { right, middle: (high + low) / 2, height: low - high };
}

/** Paints all outlines that a frame shows, with their signs as long as those can be read. */
export function paintOutlines(pen: Pen, packed: PackedOutlines, frame: Frame, marks: Marks): void {
  const inFrame: number[] = [];
  for (let i = 0; i + 1 < packed.starts.length; i++) if (isInFrame(packed, i, frame)) inFrame.push(i);
  if (frame.inPassing || inFrame.length > MOST_BROAD) paintThin(pen, packed, frame, { ...marks, inFrame });
  else paintBroad(pen, packed, frame, { ...marks, inFrame });
}

type Looks = Marks & { readonly inFrame: readonly number[] };

/** One thin line each. */
function paintThin(pen: Pen, packed: PackedOutlines, frame: Frame, { colours, inFrame }: Looks): void {
  pen.lineJoin = 'bevel';
  pen.setLineDash([]);
  pen.lineWidth = 1;
  for (const i of inFrame) {
    trace(pen, packed, i, { frame, step: PLAIN_STEP_PX });
    pen.strokeStyle = colours[packed.colours[i] ?? 0] ?? '#000000';
    pen.stroke();
  }
}

/** Each on a broad soft line, with its sign. */
function paintBroad(pen: Pen, packed: PackedOutlines, frame: Frame, { colours, signs, inFrame }: Looks): void {
  pen.lineJoin = 'round';
  const places: [stage: number, x: number, y: number][] = [];
  for (const i of inFrame) {
    const end = trace(pen, packed, i, { frame, step: STEP_PX });
    const stage = packed.colours[i] ?? 0;
    strokeTwice(pen, colours[stage] ?? '#000000', LINES[packed.lines[i] ?? 0] ?? 'whole', frame.lineWidth);
    if (end.height >= LEAST_HEIGHT * frame.lineWidth) places.push([stage, end.right, end.middle]);
  }
  if (places.length > MOST_SIGNS) return;
  for (const [stage, x, y] of places) writeSign(pen, signs[stage] ?? '', [x, y], frame.lineWidth);
}

/** Writes a sign beside an outline, dark with a pale rim, so that it reads on any ground. */
export function writeSign(pen: Pen, sign: string, [x, y]: readonly [number, number], lineWidth: number): void {
  pen.setLineDash([]);
  pen.font = `700 ${7 * lineWidth}px system-ui, sans-serif`;
  pen.textBaseline = 'middle';
  pen.lineWidth = 2 * lineWidth;
  pen.strokeStyle = 'rgb(255 255 255 / 85%)';
  pen.strokeText(sign, x + 2 * lineWidth, y);
  pen.fillStyle = '#111a1c';
  pen.fillText(sign, x + 2 * lineWidth, y);
}

/** Draws squares, field and counted area. */
export function paintArea(pen: Pen, area: readonly AreaLine[], frame: Frame): void {
  const at = ([x, y]: readonly [number, number]): [number, number] => [
    (x + 0.5 - frame.left) * frame.scale,
    (y + 0.5 - frame.top) * frame.scale,
  ];
  for (const { points, radiusPx, closed, colour, width, line, name } of area) {
    const [first, ...rest] = points.map(at);
    if (first === undefined) continue;
    pen.beginPath();
    if (radiusPx === undefined) pen.moveTo(...first);
    else pen.arc(...first, radiusPx * frame.scale, 0, 2 * Math.PI);
    for (const point of rest) pen.lineTo(...point);
    if (closed) pen.closePath();
    strokeTwice(pen, colour, line, width * frame.lineWidth);
    if (name !== undefined) writeName(pen, name, first, frame.lineWidth);
  }
}

/** Writes the name of a square on a pale ground, so that it reads on a larva too. */
function writeName(pen: Pen, name: string, [x, y]: readonly [number, number], lineWidth: number): void {
  pen.setLineDash([]);
  pen.font = `600 ${8 * lineWidth}px system-ui, sans-serif`;
  pen.textBaseline = 'top';
  const [left, top] = [x + 5 * lineWidth, y + 4 * lineWidth];
  pen.fillStyle = 'rgb(255 255 255 / 80%)';
  pen.fillRect(left - lineWidth, top - lineWidth, pen.measureText(name).width + 2 * lineWidth, 10 * lineWidth);
  pen.fillStyle = '#00595c';
  pen.fillText(name, left, top);
}
