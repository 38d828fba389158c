import type { FinderModel } from './finder-model.js';
import type { Tile } from './tiles.js';

/** The network's answer for one tile. */
export interface Cells {
  readonly columns: number;
  readonly rows: number;
  /** One plane of `rows * columns` per output. */
  readonly data: Float32Array;
}

/** An object as the cells around one peak of the centre score see it, in working pixels. */
export interface Peak {
  readonly x: number;
  readonly y: number;
  /** Lengths of the spokes, first along +x, clockwise. */
  readonly spokes: Float64Array;
  /** Centre score, 0..1. */
  readonly centre: number;
  /** Probability of each class but the ground, adding up to 1. */
  readonly classes: Float64Array;
  /** Hinge direction in radians, 0..pi. */
  readonly axis: number;
}

/** Least centre score of a peak. */
const LEAST_CENTRE = 0.25;
/** Cells with at least this share of the peak's centre score have a say in the outline. */
const VOICE = 0.6;

const sigmoid = (v: number): number => 1 / (1 + Math.exp(-v));
const softplus = (v: number): number => (v > 20 ? v : Math.log1p(Math.exp(v)));

/** Distance from (x, y) to the closed star-shaped outline of another cell, along one direction; 0 when it misses. */
function alongRay(outline: Float64Array, x: number, y: number, angle: number): number {
  const dx = Math.cos(angle);
  const dy = Math.sin(angle);
  const n = outline.length / 2;
  let far = 0;
  let qx = outline[2 * n - 2] - x;
  let qy = outline[2 * n - 1] - y;
  let side = dx * qy - dy * qx;
  for (let k = 0; k < n; k++) {
    const nx = outline[2 * k] - x;
    const ny = outline[2 * k + 1] - y;
    const nside = dx * ny - dy * nx;
    if (side <= 0 !== nside <= 0) {
      const r = (qx * ny - qy * nx) / (dx * (ny - qy) - dy * (nx - qx));
      if (r > far) far = r;
    }
    qx = nx;
    qy = ny;
    side = nside;
  }
  return far;
}

/** Reads the numbers of one cell. */
class CellReader {
  readonly #cells: Cells;
  readonly #model: FinderModel;
  readonly #plane: number;

  constructor(cells: Cells, model: FinderModel) {
    this.#cells = cells;
    this.#model = model;
    this.#plane = cells.rows * cells.columns;
  }

  centre(i: number): number {
    return sigmoid(this.#cells.data[i]);
  }

  /** Outline of the cell in tile pixels. */
  outline(i: number): Float64Array {
    const { cell, spokes, spokeUnit } = this.#model;
    const x = ((i % this.#cells.columns) + 0.5) * cell - 0.5;
    const y = (Math.floor(i / this.#cells.columns) + 0.5) * cell - 0.5;
    const outline = new Float64Array(2 * spokes);
    for (let k = 0; k < spokes; k++) {
      const r = softplus(this.#cells.data[(1 + k) * this.#plane + i]) * spokeUnit;
      const a = (2 * Math.PI * k) / spokes;
      outline[2 * k] = x + r * Math.cos(a);
      outline[2 * k + 1] = y + r * Math.sin(a);
    }
    return outline;
  }

  /** Adds the softmax over all classes, times a weight. */
  addClasses(i: number, weight: number, sum: Float64Array): void {
    const n = this.#model.classes.length;
    const from = 1 + this.#model.spokes;
    let top = -Infinity;
    for (let k = 0; k < n; k++) top = Math.max(top, this.#cells.data[(from + k) * this.#plane + i]);
    let total = 0;
    const e = new Float64Array(n);
    for (let k = 0; k < n; k++) {
      e[k] = Math.exp(this.#cells.data[(from + k) * this.#plane + i] - top);
      total += e[k];
    }
    for (let k = 0; k < n; k++) sum[k] += (weight * e[k]) / total;
  }

  axis(i: number): readonly [number, number] {
    const from = 1 + this.#model.spokes + this.#model.classes.length;
    return [this.#cells.data[from * this.#plane + i], this.#cells.data[(from + 1) * this.#plane + i]];
  }
}

/** Cells within two of `i` whose centre score is high enough, `i` among them. */
function voices(reader: CellReader, cells: Cells, i: number, peak: number): number[] {
  const row = Math.floor(i / cells.columns);
  const column = i % cells.columns;
  const found: number[] = [];
  for (let r = Math.max(0, row - 1); r <= Math.min(cells.rows - 1, row + 1); r++) {
    for (let c = Math.max(0, column - 1); c <= Math.min(cells.columns - 1, column + 1); c++) {
      const j = r * cells.columns + c;
      if (reader.centre(j) >= VOICE * peak) found.push(j);
    }
  }
  return found;
}

/** What the cells round a peak say together: outlines averaged about their common middle, classes and axis averaged. */
function merge(reader: CellReader, members: readonly number[], peakCentre: number, model: FinderModel): Peak {
  const outlines = members.map((j) => reader.outline(j));
  const weights = members.map((j) => reader.centre(j) ** 2);
  const total = weights.reduce((a, b) => a + b, 0);
  let x = 0;
  let y = 0;
  for (const [m, outline] of outlines.entries()) {
    for (let k = 0; k < model.spokes; k++) {
      x += (weights[m] * outline[2 * k]) / total / model.spokes;
      y += (weights[m] * outline[2 * k + 1]) / total / model.spokes;
    }
  }
  const spokes = new Float64Array(model.spokes);
  for (let k = 0; k < model.spokes; k++) {
    const angle = (2 * Math.PI * k) / model.spokes;
    let sum = 0;
    let weight = 0;
    for (const [m, outline] of outlines.entries()) {
      const r = alongRay(outline, x, y, angle);
      if (r > 0) {
        sum += weights[m] * r;
        weight += weights[m];
      }
    }
    spokes[k] = weight > 0 ? sum / weight : 0;
  }
  const classes = new Float64Array(model.classes.length);
  let cos = 0;
  let sin = 0;
  for (const [m, j] of members.entries()) {
    reader.addClasses(j, weights[m], classes);
    const [c, s] = reader.axis(j);
    cos += weights[m] * c;
    sin += weights[m] * s;
  }
  const counted = classes.subarray(0, -1);
  const sum = counted.reduce((a, b) => a + b, 0);
  const axis = Math.atan2(sin, cos) / 2;
  return {
    x,
    y,
    spokes,
    centre: peakCentre,
    classes: counted.map((v) => v / sum),
    axis: axis < 0 ? axis + Math.PI : axis,
  };
}

/** Peaks of the centre score whose cell lies in the inner part of the tile, in working pixels of the whole picture. */
export function readPeaks(cells: Cells, tile: Tile, model: FinderModel): Peak[] {
  const reader = new CellReader(cells, model);
  const { columns, rows, data } = cells;
  const least = Math.log(LEAST_CENTRE / (1 - LEAST_CENTRE));
  const peaks: Peak[] = [];
  for (let row = 0; row < rows; row++) {
    const y = tile.top + (row + 0.5) * model.cell - 0.5;
    if (y < tile.inner.top - 0.5 || y >= tile.inner.bottom - 0.5) continue;
    for (let column = 0; column < columns; column++) {
      const x = tile.left + (column + 0.5) * model.cell - 0.5;
      if (x < tile.inner.left - 0.5 || x >= tile.inner.right - 0.5) continue;
      const i = row * columns + column;
      if (data[i] < least || !isHighest(cells, row, column)) continue;
      const centre = reader.centre(i);
      const peak = merge(reader, voices(reader, cells, i, centre), centre, model);
      peaks.push({ ...peak, x: peak.x + tile.left, y: peak.y + tile.top });
    }
  }
  return peaks;
}

/** No neighbour is higher; of equal neighbours the first wins. */
function isHighest({ columns, rows, data }: Cells, row: number, column: number): boolean {
  const here = data[row * columns + column];
  for (let r = Math.max(0, row - 1); r <= Math.min(rows - 1, row + 1); r++) {
    for (let c = Math.max(0, column - 1); c <= Math.min(columns - 1, column + 1); c++) {
      const there = data[r * columns + c];
      const earlier = r < row || (r === row && c < column);
      if (there > here || (there === here && earlier)) return false;
    }
  }
  return true;
}
