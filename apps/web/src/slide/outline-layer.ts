import { MARKS, type PackedOutlines } from './outline-data.js';
import type { AreaLine, Frame } from './outline-painter.js';
import type { PainterAnswer, PainterRequest } from './outline-worker.js';
import type { Sight } from './picture.js';

/** Screen pixels painted beyond each side of the view, so that small moves need no new bitmap. */
const MARGIN = 256;

/** Stretched by more than this, or shrunk by as much, the bitmap on screen is too coarse or too fine to wait. */
const MOST_STRETCH = 1.7;

/** The view counts as still when it has not moved for so many milliseconds. */
const STILL_MS = 120;

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
  #stillness: ReturnType<typeof setTimeout> | undefined;
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

  /** Follows the photo. While it moves the bitmap is stretched with it; when it is still it is painted sharp. */
  follow(sight: Sight): void {
    this.#sight = sight;
    this.#place();
    clearTimeout(this.#stillness);
    if (this.#isSharp(sight)) return;
    this.#stillness = setTimeout(() => {
      this.#repaint();
    }, STILL_MS);
    if (!this.#covers(sight)) this.#repaint(true);
  }

  /** Frees the worker. */
  close(): void {
    clearTimeout(this.#stillness);
    this.#worker.terminate();
  }

  #ask(request: PainterRequest): void {
    this.#worker.postMessage(request);
  }

  /** Whether the bitmap on screen reaches over all of a sight, stretched within bounds. */
  #covers({ left, top, scale, width, height }: Sight): boolean {
    const frame = this.#frame;
    if (frame === null) return false;
    const stretch = scale / (frame.scale / devicePixelRatio);
    const right = frame.left + frame.width / frame.scale;
    const bottom = frame.top + frame.height / frame.scale;
    return (
      stretch < MOST_STRETCH &&
      stretch > 1 / MOST_STRETCH &&
      left >= frame.left &&
      top >= frame.top &&
      left + width / scale <= right &&
      top + height / scale <= bottom
    );
  }

  /** Whether nothing would be gained by painting again. */
  #isSharp(sight: Sight): boolean {
    const frame = this.#frame;
    if (frame === null || frame.inPassing || this.#shown !== this.#version || !this.#covers(sight)) return false;
    return Math.abs(sight.scale / (frame.scale / devicePixelRatio) - 1) < 0.002;
  }

  #repaint(inPassing = false): void {
    const sight = this.#sight;
    // before it has outlines the painter does not answer
    if (this.#busy || this.#version === 0 || sight === null || sight.width === 0) return;
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
        inPassing,
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
    if (this.#sight === null) return;
    if (version !== this.#version) this.#repaint();
    else this.follow(this.#sight);
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
