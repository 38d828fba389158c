import { STAGE_MARKS } from '@veligrid/model';
import type { ReviewedObject } from '@veligrid/review';
import { lineOf } from './outline-data.js';
import { strokeTwice, writeSign } from './outline-painter.js';
import type { Sight } from './picture.js';
import { boxOf, type Point } from './shapes.js';

/** What is drawn at once on the page's own thread: a few shapes that change under the hand. */
export interface Live {
  readonly selected: ReviewedObject | null;
  /** Picked besides, for joining. */
  readonly picked: readonly ReviewedObject[];
  /** Changed since the bitmap of outlines was painted. */
  readonly changed: readonly ReviewedObject[];
  /** Points tapped with the present tool. */
  readonly taps: readonly Point[];
  /** Whether the taps are ends of a line to be measured or cut along, or corners of an outline. */
  readonly tapsAre: 'line' | 'outline';
  /** Cross that keys move, or null. */
  readonly cross: Point | null;
}

const WIDTH = 1.6;
const HAND = '#ff4fa3';

/** Draws the live shapes over the photo. */
export class LiveLayer {
  readonly #canvas: HTMLCanvasElement;
  readonly #pen: CanvasRenderingContext2D | null;
  #live: Live = { selected: null, picked: [], changed: [], taps: [], tapsAre: 'outline', cross: null };
  #sight: Sight | null = null;
  /** Nothing is on the canvas. */
  #clear = true;

  constructor(canvas: HTMLCanvasElement) {
    this.#canvas = canvas;
    this.#pen = canvas.getContext('2d');
  }

  /** Draws other shapes. */
  set(live: Live): void {
    this.#live = live;
    this.#draw();
  }

  /** Follows the photo. */
  follow(sight: Sight): void {
    this.#sight = sight;
    this.#draw();
  }

  #isEmpty(): boolean {
    const { selected, picked, changed, taps, cross } = this.#live;
    return selected === null && cross === null && picked.length + changed.length + taps.length === 0;
  }

  #at([x, y]: Point): [number, number] {
    const { left, top, scale } = this.#sight ?? { left: 0, top: 0, scale: 1 };
    return [(x + 0.5 - left) * scale, (y + 0.5 - top) * scale];
  }

  #path(pen: CanvasRenderingContext2D, points: readonly Point[], closed: boolean): void {
    pen.beginPath();
    points.forEach((point, i) => {
      if (i === 0) pen.moveTo(...this.#at(point));
      else pen.lineTo(...this.#at(point));
    });
    if (closed) pen.closePath();
  }

  #draw(): void {
    const [pen, sight] = [this.#pen, this.#sight];
    if (pen === null || sight === null) return;
    // A canvas that is touched is sent to the screen whole: with nothing to show it is left alone.
    const empty = this.#isEmpty();
    if (empty && this.#clear) return;
    this.#clear = empty;
    const dense = devicePixelRatio;
    const [width, height] = [Math.round(sight.width * dense), Math.round(sight.height * dense)];
    if (this.#canvas.width !== width) this.#canvas.width = width;
    if (this.#canvas.height !== height) this.#canvas.height = height;
    pen.setTransform(dense, 0, 0, dense, 0, 0);
    pen.clearRect(0, 0, sight.width, sight.height);
    pen.lineJoin = 'round';
    const { selected, picked, changed, taps, tapsAre, cross } = this.#live;
    for (const object of changed) this.#outline(pen, object, WIDTH);
    for (const object of picked) this.#brackets(pen, object);
    if (selected !== null) {
      this.#outline(pen, selected, 2 * WIDTH);
      this.#brackets(pen, selected);
    }
    this.#taps(pen, taps, tapsAre);
    if (cross !== null) this.#cross(pen, cross);
  }

  #outline(pen: CanvasRenderingContext2D, object: ReviewedObject, width: number): void {
    this.#path(pen, object.outline, true);
    strokeTwice(pen, STAGE_MARKS[object.stage].colour, lineOf(object), width);
    const { maxX, minY, maxY } = boxOf(object.outline);
    writeSign(pen, STAGE_MARKS[object.stage].sign, this.#at([maxX, (minY + maxY) / 2]), WIDTH);
  }

  /** Four corners round the object: what is selected must show without colour. */
  #brackets(pen: CanvasRenderingContext2D, { outline }: ReviewedObject): void {
    const { minX, minY, maxX, maxY } = boxOf(outline);
    const [left, top] = this.#at([minX, minY]);
    const [right, bottom] = this.#at([maxX, maxY]);
    const [gap, arm] = [7, 12];
    pen.beginPath();
    for (const [x, y, dx, dy] of [
      [left - gap, top - gap, 1, 1],
      [right + gap, top - gap, -1, 1],
      [right + gap, bottom + gap, -1, -1],
      [left - gap, bottom + gap, 1, -1],
    ] as const) {
      pen.moveTo(x + dx * arm, y);
      pen.lineTo(x, y);
      pen.lineTo(x, y + dy * arm);
    }
    strokeTwice(pen, '#10211f', 'whole', 2.5);
  }

  #taps(pen: CanvasRenderingContext2D, taps: readonly Point[], are: Live['tapsAre']): void {
    if (taps.length === 0) return;
    this.#path(pen, taps, are === 'outline' && taps.length > 2);
    strokeTwice(pen, HAND, 'whole', WIDTH);
    for (const tap of taps) {
      pen.beginPath();
      pen.arc(...this.#at(tap), 4, 0, 2 * Math.PI);
      pen.fillStyle = '#ffffff';
      pen.fill();
      strokeTwice(pen, HAND, 'whole', WIDTH);
    }
  }

  #cross(pen: CanvasRenderingContext2D, cross: Point): void {
    const [x, y] = this.#at(cross);
    pen.beginPath();
    for (const [dx, dy] of [
      [1, 0],
      [-1, 0],
      [0, 1],
      [0, -1],
    ] as const) {
      pen.moveTo(x + 5 * dx, y + 5 * dy);
      pen.lineTo(x + 22 * dx, y + 22 * dy);
    }
    strokeTwice(pen, HAND, 'whole', 2);
  }
}
