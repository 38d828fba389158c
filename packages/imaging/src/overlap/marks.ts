import type { Detection, PhotoCount } from '@veligrid/model';
import { insideField } from '../field/inside-field.js';
import { lineDistance } from './line-distance.js';
import type { PhotoView } from './photo-view.js';
import { speckMarks } from './speck-marks.js';

/** A thing seen in a photo, whatever it is, as a mark to find the place again by. */
export interface Mark {
  /** Place in the list of marks. */
  readonly place: number;
  /** Place in the list of detections; -1 for a speck. */
  readonly index: number;
  readonly x: number;
  readonly y: number;
  /** Diameter of the circle of equal area, pixels. */
  readonly size: number;
}

/** Size that specks are given, micrometres. */
const SPECK_UM = 45;
/** Specks this near a ruled line are not taken, micrometres: corners of squares look alike everywhere. */
const OFF_LINES_UM = 30;

/** Diameter of the circle of equal area, pixels. */
export const sizeOf = ({ measures }: Detection): number => 2 * Math.sqrt(measures.areaPx2 / Math.PI);

/** Marks of a photo: every find that is not cut, larva or dirt, then specks. */
export function marksOf(count: PhotoCount, view: PhotoView, umPerPx: number): Mark[] {
  const whole = count.detections.flatMap((one, index) =>
    one.flags.includes('cut') ? [] : [{ index, x: one.x, y: one.y, size: sizeOf(one) }],
  );
  const toLine = lineDistance(count);
  const isUsable = (x: number, y: number): boolean =>
    insideField(count.field, x, y) && toLine(x, y) > OFF_LINES_UM / umPerPx;
  const specks = speckMarks(view, isUsable).map(({ x, y }) => ({ index: -1, x, y, size: SPECK_UM / umPerPx }));
  return [...whole, ...specks].map((one, place) => ({ ...one, place }));
}

/** One number for a column and row of boxes; sides of pictures have fewer than 100,000 boxes. */
const boxKey = (column: number, row: number): number => row * 100_000 + column;

/** Marks sorted into boxes, to look up those near a place. */
export class MarkMap {
  readonly #cell: number;
  readonly #boxes = new Map<number, Mark[]>();

  constructor(marks: readonly Mark[], cell: number) {
    this.#cell = cell;
    for (const mark of marks) {
      const key = boxKey(Math.floor(mark.x / cell), Math.floor(mark.y / cell));
      const box = this.#boxes.get(key);
      if (box === undefined) this.#boxes.set(key, [mark]);
      else box.push(mark);
    }
  }

  /** Marks within `reach` of a place, and some a little farther off; `reach` at most the side of a box. */
  near(x: number, y: number): Mark[] {
    const [column, row] = [Math.floor(x / this.#cell), Math.floor(y / this.#cell)];
    const found: Mark[] = [];
    for (let r = row - 1; r <= row + 1; r++) {
      for (let c = column - 1; c <= column + 1; c++) {
        const box = this.#boxes.get(boxKey(c, r));
        if (box !== undefined) found.push(...box);
      }
    }
    return found;
  }
}
