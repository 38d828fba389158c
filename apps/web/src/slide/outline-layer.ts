import { MARKS, type PackedOutlines } from './outline-data.js';
import type { AreaLine, Frame } from './outline-painter.js';
import type { PainterAnswer, PainterRequest } from './outline-worker.js';
import type { Sight } from './picture.js';

/** Screen pixels painted beyond each side of the view, so that small moves need no new bitmap. */
const MARGIN = 256;

/**
 * The bitmap of all outlines over the photo. A worker paints it; between paintings it is moved and stretched with the
 * photo, which costs next to nothing however many outlines there are.
 */
export class OutlineLayer {
  readonly #canvas: HTMLCanvasElement;
  readonly #pen: ImageBitmapRenderingContext | null;
  readonly #worker: Worker;
  readonly #onPainted: (version: number) => void;
  #frame: Frame | null = null;
  #sight: Sight | null = null;
  #version = 0;
  #shown = -1;
  #busy = false;
  #outlines = true;

  /**
   * @param canvas lies over the photo
   * @param onPainted told which version of the outlines is on screen now
   */
  constructor(canvas: HTMLCanvasElement, onPainted: (version: number) => void) {
    this.#canvas = canvas;
    this.#pen = canvas.getContext('bitmaprenderer');
    this.#onPainted = onPainted;
    this.#worker = new Worker(new URL('./outline-worker.ts', import.meta.url), { type: 'module' });
    this.#worker.addEventListener('message', ({ data }: MessageEvent<PainterAnswer>) => {
      this.#take(data);
    });
  }

  /** Gives the painter other outlines; returns their version. */
  setOutlines(packed: PackedOutlines, area: readonly AreaLine[]): number {
    this.#version++;
    this.#ask({ kind: 'outlines', packed, area, marks: MARKS });
    this.#repaint();
    return this.#version;
  }

  /** Shows or hides the outlines; squares and area stay. */
  setVisible(outlines: boolean): void {
    if (outlines === this.#outlines) return;
    this.#outlines = outlines;
    this.#version++;
    this.#repaint();
  }

  /** Follows the photo. */
  follow(sight: Sight): void {
    this.#sight = sight;
    this.#place();
    if (!this.#covers(sight)) this.#repaint();
  }

  /** Frees the worker. */
  close(): void {
    this.#worker.terminate();
  }

  #ask(request: PainterRequest): void {
    this.#worker.postMessage(request);
  }

  /** Whether the bitmap on screen is sharp and large enough for a sight. */
  #covers({ left, top, scale, width, height }: Sight): boolean {
    const frame = this.#frame;
    if (frame === null || this.#shown !== this.#version) return false;
    const ratio = scale / (frame.scale / devicePixelRatio);
    const right = frame.left + frame.width / frame.scale;
    const bottom = frame.top + frame.height / frame.scale;
    return (
      Math.abs(ratio - 1) < 0.002 &&
      left >= frame.left &&
      top >= frame.top &&
      left + width / scale <= right &&
      top + height / scale <= bottom
    );
  }

  #repaint(): void {
    const sight = this.#sight;
    if (this.#busy || sight === null || sight.width === 0) return;
    this.#busy = true;
    const { left, top, scale, width, height } = sight;
    const dense = devicePixelRatio;
    this.#ask({
      kind: 'paint',
      version: this.#version,
      outlines: this.#outlines,
      frame: {
        left: left - MARGIN / scale,
        top: top - MARGIN / scale,
        scale: scale * dense,
        width: Math.round((width + 2 * MARGIN) * dense),
        height: Math.round((height + 2 * MARGIN) * dense),
        lineWidth: 1.6 * dense,
      },
    });
  }

  #take({ bitmap, frame, version }: PainterAnswer): void {
    this.#busy = false;
    this.#frame = frame;
    this.#shown = version;
    if (this.#canvas.width !== frame.width) this.#canvas.width = frame.width;
    if (this.#canvas.height !== frame.height) this.#canvas.height = frame.height;
    this.#pen?.transferFromImageBitmap(bitmap);
    this.#place();
    this.#onPainted(version);
    if (this.#sight !== null && !this.#covers(this.#sight)) this.#repaint();
  }

  #place(): void {
    const [frame, sight] = [this.#frame, this.#sight];
    if (frame === null || sight === null) return;
    const stretch = sight.scale / frame.scale;
    const x = (frame.left - sight.left) * sight.scale;
    const y = (frame.top - sight.top) * sight.scale;
    this.#canvas.style.transform = `translate(${x}px, ${y}px) scale(${stretch})`;
  }
}
