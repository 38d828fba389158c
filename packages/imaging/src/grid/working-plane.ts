import type { Field } from '@veligrid/model';
import type { Raster } from '../raster.js';

/** Longest side of the working plane aimed at; whole reduction factors make it 0.75 to 1.5 times this. */
const WORKING_SIDE_PX = 1100;
/** Half side of the square whose mean is taken as the local ground, in working pixels: wider than any line. */
const GROUND_RADIUS = 15;
/** Added to the ground before dividing, so that noise on black does not count as contrast; grey levels of 255. */
const DARK_FLOOR = 12;
/** Share of the radius of a round field that is used: its very edge is a strong curved line of its own. */
const ROUND_SHARE = 0.96;

/** Reduced picture in which only fine structure is left: local contrast against the ground around. */
export interface WorkingPlane {
  readonly width: number;
  readonly height: number;
  /** Side of the block of full-scale pixels behind one working pixel. */
  readonly factor: number;
  /** `width * height` relative contrasts, below 0 for darker than the ground around; 0 outside the field. */
  readonly values: Float32Array;
  /** For each row, first and one past the last column inside the field. */
  readonly firstColumn: Int32Array;
  readonly endColumn: Int32Array;
  /** Robust standard deviation of the values inside the field, above 0. */
  readonly noise: number;
}

/** Full-scale pixel coordinate of a working-plane coordinate. */
export const fullCoordinate = (plane: WorkingPlane, working: number): number =>
  working * plane.factor + (plane.factor - 1) / 2;

/** Working-plane coordinate of a full-scale pixel coordinate. */
export const workingCoordinate = (plane: WorkingPlane, full: number): number =>
  (full - (plane.factor - 1) / 2) / plane.factor;

/**
 * Reduces the green channel by a whole factor and takes off the ground.
 *
 * @param raster upright picture
 * @param field what lies outside is left out
 */
export function workingPlane(raster: Raster, field: Field): WorkingPlane {
  const factor = Math.max(1, Math.round(Math.max(raster.width, raster.height) / WORKING_SIDE_PX));
  const width = Math.floor(raster.width / factor);
  const height = Math.floor(raster.height / factor);
  const firstColumn = new Int32Array(height);
  const endColumn = new Int32Array(height);
  fieldSpans(field, { width, height, factor }, firstColumn, endColumn);
  const grey = reduceGreen(raster, width, height, factor);
  const values = contrastToGround(grey, { width, height, firstColumn, endColumn });
  const noise = robustDeviation(values, { width, height, firstColumn, endColumn });
  return { width, height, factor, values, firstColumn, endColumn, noise };
}

function fieldSpans(
  field: Field,
  size: { readonly width: number; readonly height: number; readonly factor: number },
  firstColumn: Int32Array,
  endColumn: Int32Array,
): void {
  const { width, height, factor } = size;
  if (field.kind === 'frame') {
    endColumn.fill(width);
    return;
  }
  const offset = (factor - 1) / 2;
  const centreX = (field.centrePx[0] - offset) / factor;
  const centreY = (field.centrePx[1] - offset) / factor;
  const radius = (field.radiusPx * ROUND_SHARE) / factor;
  for (let row = 0; row < height; row++) {
    const half2 = radius * radius - (row - centreY) ** 2;
    if (half2 <= 0) continue;
    const half = Math.sqrt(half2);
    const first = Math.min(width, Math.max(0, Math.ceil(centreX - half)));
    firstColumn[row] = first;
    endColumn[row] = Math.max(first, Math.min(width, Math.floor(centreX + half) + 1));
  }
}

/** Block means of the green channel; of large blocks every second row is read. */
function reduceGreen(raster: Raster, width: number, height: number, factor: number): Float32Array {
  const { data } = raster;
  const grey = new Float32Array(width * height);
  const rowStep = factor >= 4 ? 2 : 1;
  const stride = raster.width * 3;
  const share = 1 / (factor * Math.ceil(factor / rowStep));
  const sums = new Int32Array(width);
  for (let row = 0; row < height; row++) {
    sums.fill(0);
    for (let inner = 0; inner < factor; inner += rowStep) {
      let pos = (row * factor + inner) * stride + 1;
      for (let column = 0; column < width; column++) {
        let sum = 0;
        for (let k = 0; k < factor; k++, pos += 3) sum += data[pos];
        sums[column] += sum;
      }
    }
    const base = row * width;
    for (let column = 0; column < width; column++) grey[base + column] = sums[column] * share;
  }
  return grey;
}

interface Spans {
  readonly width: number;
  readonly height: number;
  readonly firstColumn: Int32Array;
  readonly endColumn: Int32Array;
}

/** (grey - ground) / (ground + floor), with the mean over a square inside the field as ground. */
function contrastToGround(grey: Float32Array, spans: Spans): Float32Array {
  const { width, height, firstColumn, endColumn } = spans;
  const values = new Float32Array(width * height);
  // sums and counts of each column over the rows of the square
  const sums = new Float64Array(width);
  const counts = new Int32Array(width);
  const addRow = (row: number, sign: number): void => {
    const base = row * width;
    const end = endColumn[row];
    for (let column = firstColumn[row]; column < end; column++) {
      sums[column] += sign * grey[base + column];
      counts[column] += sign;
    }
  };
  for (let row = 0; row < Math.min(GROUND_RADIUS, height); row++) addRow(row, 1);
  for (let row = 0; row < height; row++) {
    if (row + GROUND_RADIUS < height) addRow(row + GROUND_RADIUS, 1);
    if (row - GROUND_RADIUS - 1 >= 0) addRow(row - GROUND_RADIUS - 1, -1);
    const base = row * width;
    const first = firstColumn[row];
    const end = endColumn[row];
    let sum = 0;
    let count = 0;
    for (let column = Math.max(0, first - GROUND_RADIUS); column < Math.min(width, first + GROUND_RADIUS); column++) {
      sum += sums[column];
      count += counts[column];
    }
    for (let column = first; column < end; column++) {
      const enter = column + GROUND_RADIUS;
      const leave = column - GROUND_RADIUS - 1;
      if (enter < width) {
        sum += sums[enter];
        count += counts[enter];
      }
      if (leave >= Math.max(0, first - GROUND_RADIUS)) {
        sum -= sums[leave];
        count -= counts[leave];
      }
      const ground = sum / count;
      values[base + column] = (grey[base + column] - ground) / (ground + DARK_FLOOR);
    }
  }
  return values;
}

/** 1.4826 times the median absolute value over a sparse, regular sample; never 0. */
function robustDeviation(values: Float32Array, spans: Spans): number {
  const { width, height, firstColumn, endColumn } = spans;
  const step = Math.max(1, Math.round(Math.sqrt((width * height) / 8000)));
  const sample: number[] = [];
  for (let row = 0; row < height; row += step) {
    for (let column = firstColumn[row]; column < endColumn[row]; column += step) {
      sample.push(Math.abs(values[row * width + column]));
    }
  }
  const median = Float32Array.from(sample).sort()[sample.length >> 1] ?? 0;
  return Math.max(1e-4, 1.4826 * median);
}
