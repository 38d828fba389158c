import type { PackedOutlines } from './outline-data.js';
import { paintArea, paintOutlines, type AreaLine, type Frame, type Marks } from './outline-painter.js';

/** What the page asks of the painter. */
export type PainterRequest =
  | {
      readonly kind: 'outlines';
      readonly packed: PackedOutlines;
      readonly area: readonly AreaLine[];
      readonly marks: Marks;
    }
  | { readonly kind: 'paint'; readonly frame: Frame; readonly version: number; readonly outlines: boolean };

/** The painted bitmap; the page owns it. */
export interface PainterAnswer {
  readonly bitmap: ImageBitmap;
  readonly frame: Frame;
  readonly version: number;
}

let packed: PackedOutlines | null = null;
let marks: Marks = { colours: [], signs: [] };
let area: readonly AreaLine[] = [];
let wanted: Extract<PainterRequest, { kind: 'paint' }> | null = null;

/** Paints the frame asked for last; those asked for before it are out of date. */
function paint(): void {
  const request = wanted;
  wanted = null;
  if (request === null || packed === null) return;
  const { frame, version } = request;
  const canvas = new OffscreenCanvas(frame.width, frame.height);
  const pen = canvas.getContext('2d');
  if (pen === null) return;
  paintArea(pen, area, frame);
  if (request.outlines) paintOutlines(pen, packed, frame, marks);
  const bitmap = canvas.transferToImageBitmap();
  const answer: PainterAnswer = { bitmap, frame, version };
  postMessage(answer, { transfer: [bitmap] });
}

addEventListener('message', ({ data }: MessageEvent<PainterRequest>) => {
  if (data.kind === 'outlines') {
    ({ packed, area, marks } = data);
    return;
  }
  const idle = wanted === null;
  wanted = data;
  if (idle) setTimeout(paint, 0);
});
