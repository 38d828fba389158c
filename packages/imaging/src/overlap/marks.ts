import type { Detection, PhotoCount } from '@veligrid/model';

/** A thing seen in a photo, whatever it is, as a mark to find the place again by. */
export interface Mark {
  /** Place in the list of detections. */
  readonly index: number;
  readonly x: number;
  readonly y: number;
  /** Diameter of the circle of equal area, pixels. */
  readonly size: number;
}

/** Marks of a photo: all that is not cut, larvae and dirt alike. */
export function marksOf({ detections }: PhotoCount): Mark[] {
  return detections.flatMap((one, index) => (one.flags.includes('cut') ? [] : [markOf(one, index)]));
}

/** The mark of a detection, cut or not. */
export const markOf = ({ x, y, measures }: Detection, index: number): Mark => ({
  index,
  x,
  y,
  size: 2 * Math.sqrt(measures.areaPx2 / Math.PI),
});

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
