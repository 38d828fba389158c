import { lineSums } from './line-sums.js';
import type { WorkingPlane } from './working-plane.js';

/** Longest side of the pooled picture in which lines are looked for, pixels. */
const POOLED_SIDE = 256;
/** Values are clipped at this many standard deviations, so that no dark larva outweighs a faint line. */
const CLIP = 2.5;
/** Least line sum over the root of its length, in standard deviations of one pooled pixel. */
const LEAST_SCORE = 6;
/** Least length of a line inside the field, as a share of the shorter side. */
const LEAST_LENGTH_SHARE = 0.3;
/** Points along a line at which it is asked whether it lies in the field. */
const FIELD_SAMPLES = 64;

/** Straight line in the working plane: across = start + slope * along. */
export interface CandidateLine {
  /** True when `along` is the row (the line runs top to bottom), false when it is the column. */
  readonly steep: boolean;
  readonly start: number;
  /** -1..1. */
  readonly slope: number;
  /** First and last `along` inside the field. */
  readonly from: number;
  readonly to: number;
  /** Clipped sum over the root of the length; the greater the surer. */
  readonly score: number;
}

interface Pooled {
  readonly width: number;
  readonly height: number;
  readonly values: Float32Array;
  readonly pool: number;
}

/**
 * Straight lines of any direction that stand out, the surest first. Many are doubles or chance; tracing sorts them out.
 *
 * @param plane working plane
 */
export function lineCandidates(plane: WorkingPlane): CandidateLine[] {
  const upright = poolExtremes(plane);
  const turned = transpose(upright);
  return [
    ...peaks(plane, upright, { steep: true, mirrored: false }),
    ...peaks(plane, mirror(upright), { steep: true, mirrored: true }),
    ...peaks(plane, turned, { steep: false, mirrored: false }),
    ...peaks(plane, mirror(turned), { steep: false, mirrored: true }),
  ].sort((a, b) => b.score - a.score || a.start - b.start || a.slope - b.slope);
}

/** The value farthest from 0 of each block, in clipped standard deviations: a mean would lose a dark line with bright rims. */
function poolExtremes(plane: WorkingPlane): Pooled {
  const pool = Math.max(1, Math.ceil(Math.max(plane.width, plane.height) / POOLED_SIDE));
  const width = Math.floor(plane.width / pool);
  const height = Math.floor(plane.height / pool);
  const values = new Float32Array(width * height);
  for (let row = 0; row < height; row++) {
    for (let inner = 0; inner < pool; inner++) {
      let pos = (row * pool + inner) * plane.width;
      for (let column = 0; column < width; column++) {
        let extreme = values[row * width + column];
        for (let k = 0; k < pool; k++, pos++) {
          const value = plane.values[pos];
          if (Math.abs(value) > Math.abs(extreme)) extreme = value;
        }
        values[row * width + column] = extreme;
      }
    }
  }
  const sizes = values
    .filter((value) => value !== 0)
    .map(Math.abs)
    .sort();
  const deviation = Math.max(1e-4, sizes[sizes.length >> 1] ?? 0);
  for (let i = 0; i < values.length; i++) {
    values[i] = Math.max(-CLIP, Math.min(CLIP, values[i] / deviation));
  }
  return { width, height, values, pool };
}

function transpose(picture: Pooled): Pooled {
  const { width, height, values } = picture;
  const turned = new Float32Array(values.length);
  for (let row = 0; row < height; row++) {
    for (let column = 0; column < width; column++) turned[column * height + row] = values[row * width + column];
  }
  return { ...picture, width: height, height: width, values: turned };
}

function mirror(picture: Pooled): Pooled {
  const { width, height, values } = picture;
  const mirrored = new Float32Array(values.length);
  for (let row = 0; row < height; row++) {
    for (let column = 0; column < width; column++) {
      mirrored[row * width + column] = values[row * width + width - 1 - column];
    }
  }
  return { ...picture, values: mirrored };
}

/** Local extremes of the line sums over start and shift. */
function peaks(
  plane: WorkingPlane,
  picture: Pooled,
  turn: { readonly steep: boolean; readonly mirrored: boolean },
): CandidateLine[] {
  const { rows, columns, sums } = lineSums(picture.values, picture.width, picture.height);
  const shortSide = Math.min(picture.width, picture.height);
  const least = LEAST_SCORE * Math.sqrt(LEAST_LENGTH_SHARE * shortSide);
  const found: CandidateLine[] = [];
  for (let shift = 0; shift < rows; shift++) {
    const slope = shift / (rows - 1);
    for (let column = 1; column < columns - 1; column++) {
      const at = shift * columns + column;
      const size = Math.abs(sums[at]);
      // most places fall here: too small, or smaller than a neighbour in the same row
      if (size < least || Math.abs(sums[at - 1]) > size || Math.abs(sums[at + 1]) > size) continue;
      if (!isPeak(sums, columns, shift, column)) continue;
      const line = toWorking(picture, turn, { start: column - rows, slope });
      const span = spanInField(plane, line);
      const length = (span.to - span.from) / picture.pool;
      const score = size / Math.sqrt(Math.max(1, length));
      if (length >= LEAST_LENGTH_SHARE * shortSide && score >= LEAST_SCORE) found.push({ ...line, ...span, score });
    }
  }
  return found;
}

/** Whether no sum within two starts and two shifts is farther from 0; of equal ones the first stands for all. */
function isPeak(sums: Float32Array, columns: number, shift: number, column: number): boolean {
  const size = Math.abs(sums[shift * columns + column]);
  const rows = sums.length / columns;
  const left = Math.max(0, column - 2);
  const right = Math.min(columns - 1, column + 2);
  for (let s = Math.max(0, shift - 2); s <= Math.min(rows - 1, shift + 2); s++) {
    for (let c = left; c <= right; c++) {
      const other = Math.abs(sums[s * columns + c]);
      if (other > size) return false;
      if (other === size && (s < shift || (s === shift && c < column))) return false;
    }
  }
  return true;
}

function toWorking(
  picture: Pooled,
  turn: { readonly steep: boolean; readonly mirrored: boolean },
  pooled: { readonly start: number; readonly slope: number },
): { readonly steep: boolean; readonly start: number; readonly slope: number } {
  const start = turn.mirrored ? picture.width - 1 - pooled.start : pooled.start;
  const slope = turn.mirrored ? -pooled.slope : pooled.slope;
  const centre = (picture.pool - 1) / 2;
  return { steep: turn.steep, slope, start: start * picture.pool + centre - slope * centre };
}

/** First and last `along` at which the line is inside the field; an empty span when nowhere. */
function spanInField(
  plane: WorkingPlane,
  line: { readonly steep: boolean; readonly start: number; readonly slope: number },
): { readonly from: number; readonly to: number } {
  const { width, height } = plane;
  const last = (line.steep ? height : width) - 1;
  const lastAcross = (line.steep ? width : height) - 1;
  let low = 0;
  let high = last;
  if (line.slope !== 0) {
    const a = -line.start / line.slope;
    const b = (lastAcross - line.start) / line.slope;
    low = Math.max(low, Math.min(a, b));
    high = Math.min(high, Math.max(a, b));
  } else if (line.start < 0 || line.start > lastAcross) return { from: 0, to: 0 };
  if (high <= low) return { from: 0, to: 0 };
  let from = Infinity;
  let to = -Infinity;
  for (let k = 0; k <= FIELD_SAMPLES; k++) {
    const along = low + ((high - low) * k) / FIELD_SAMPLES;
    const across = line.start + line.slope * along;
    const row = Math.round(line.steep ? along : across);
    const column = line.steep ? across : along;
    if (row < 0 || row >= height || column < plane.firstColumn[row] || column >= plane.endColumn[row]) continue;
    from = Math.min(from, along);
    to = Math.max(to, along);
  }
  return to > from ? { from, to } : { from: 0, to: 0 };
}
