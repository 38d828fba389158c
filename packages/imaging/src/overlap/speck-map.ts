/** A place that differs from what is around it, pixels of the photo. */
export interface Speck {
  readonly x: number;
  readonly y: number;
}

/** Places of which no two lie too near. */
export class SpeckMap {
  readonly all: Speck[] = [];
  readonly #apart: number;
  readonly #boxes = new Map<string, Speck[]>();

  /** @param apart least distance, pixels */
  constructor(apart: number) {
    this.#apart = apart;
  }

  #keyOf(column: number, row: number): string {
    return `${String(column)},${String(row)}`;
  }

  /** Whether one taken lies nearer than the least distance. */
  hasNear(x: number, y: number): boolean {
    const [column, row] = [Math.floor(x / this.#apart), Math.floor(y / this.#apart)];
    for (let r = row - 1; r <= row + 1; r++) {
      for (let c = column - 1; c <= column + 1; c++) {
        const box = this.#boxes.get(this.#keyOf(c, r)) ?? [];
        if (box.some((one) => Math.hypot(one.x - x, one.y - y) < this.#apart)) return true;
      }
    }
    return false;
  }

  add(speck: Speck): void {
    this.all.push(speck);
    const key = this.#keyOf(Math.floor(speck.x / this.#apart), Math.floor(speck.y / this.#apart));
    const box = this.#boxes.get(key);
    if (box === undefined) this.#boxes.set(key, [speck]);
    else box.push(speck);
  }
}
