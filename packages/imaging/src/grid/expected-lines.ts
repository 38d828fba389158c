import { meanMiss, type NumberedLine } from './fit-geometry.js';
import { gridToPx, pxToGrid, type GridGeometry } from './grid-geometry.js';
import { traceLine, type LinePath, type TracedLine } from './trace-line.js';
import { workingCoordinate, type WorkingPlane } from './working-plane.js';

/** Half width searched about an expected line, working pixels. */
const REACH = 6;
/** Least share of strips that must show a line where it is expected. */
const LEAST_SUPPORT = 0.4;
/** A line farther from its place than this is another one, pitches. */
const MOST_MISS = 0.03;
/** Contrasts of lines of one family may differ by this factor. */
const CONTRAST_FACTOR = 3;
/** Points along an expected line at which it is asked whether it lies in the picture. */
const SAMPLES = 64;

/** A traced line with its family and number. */
export interface SeenLine extends NumberedLine {
  readonly line: TracedLine;
}

/** Least and greatest grid coordinates in the picture. */
interface Ranges {
  readonly u: readonly [number, number];
  readonly v: readonly [number, number];
}

/**
 * Lines that the fit expects in the picture, that are there, but that were too faint or too much covered to be found alone.
 *
 * @param plane working plane
 * @param geometry fit of the lines known
 * @param known lines known; their numbers are not looked for
 * @param shift added to whole numbers, pitches: 0 for the lines of the grid, 0.5 for lines half-way between
 */
export function expectedLines(
  plane: WorkingPlane,
  geometry: GridGeometry,
  known: readonly SeenLine[],
  shift: number = 0,
): SeenLine[] {
  const ranges = rangesInPicture(plane, geometry);
  const contrast = median(known.map(({ line }) => line.contrast));
  const found: SeenLine[] = [];
  for (const first of [true, false]) {
    const [low, high] = first ? ranges.u : ranges.v;
    for (let number = Math.ceil(low - shift) + shift; number <= high; number++) {
      if (known.some((line) => line.first === first && line.number === number)) continue;
      const path = expectedPath(plane, geometry, { first, number, other: first ? ranges.v : ranges.u });
      const line = path === null ? null : traceLine(plane, path, REACH);
      if (line === null || line.support < LEAST_SUPPORT) continue;
      if (line.contrast < contrast / CONTRAST_FACTOR || line.contrast > contrast * CONTRAST_FACTOR) continue;
      const seen = { line, first, number, points: line.points };
      if (meanMiss(geometry, seen) <= MOST_MISS) found.push(seen);
    }
  }
  return found;
}

/** Median of numbers, the upper one of two; 0 of none. */
export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[sorted.length >> 1] ?? 0;
}

function rangesInPicture(plane: WorkingPlane, geometry: GridGeometry): Ranges {
  const width = plane.width * plane.factor - 1;
  const height = plane.height * plane.factor - 1;
  const us: number[] = [];
  const vs: number[] = [];
  for (let k = 0; k <= 16; k++) {
    const x = (width * k) / 16;
    const y = (height * k) / 16;
    for (const [px, py] of [
      [x, 0],
      [x, height],
      [0, y],
      [width, y],
    ] as const) {
      const [u, v] = pxToGrid(geometry, px, py);
      us.push(u);
      vs.push(v);
    }
  }
  return { u: [Math.min(...us), Math.max(...us)], v: [Math.min(...vs), Math.max(...vs)] };
}

/** Where a grid line runs in the working plane; null when it misses the picture. */
function expectedPath(
  plane: WorkingPlane,
  geometry: GridGeometry,
  which: { readonly first: boolean; readonly number: number; readonly other: readonly [number, number] },
): LinePath | null {
  const [low, high] = which.other;
  const at = (other: number): [number, number] => {
    const [x, y] = which.first ? gridToPx(geometry, which.number, other) : gridToPx(geometry, other, which.number);
    return [workingCoordinate(plane, x), workingCoordinate(plane, y)];
  };
  let from = Infinity;
  let to = -Infinity;
  for (let k = 0; k <= SAMPLES; k++) {
    const other = low + ((high - low) * k) / SAMPLES;
    const [x, y] = at(other);
    if (x < 0 || y < 0 || x > plane.width - 1 || y > plane.height - 1) continue;
    from = Math.min(from, other);
    to = Math.max(to, other);
  }
  if (!(to > from)) return null;
  return pathThrough([at(from), at((from + to) / 2), at(to)]);
}

/** Parabola through three points in order. */
function pathThrough(points: readonly [[number, number], [number, number], [number, number]]): LinePath {
  const steep = Math.abs(points[2][1] - points[0][1]) >= Math.abs(points[2][0] - points[0][0]);
  const turned = ([x, y]: readonly [number, number]): readonly [number, number] => (steep ? [y, x] : [x, y]);
  const [start, middle, end] = [turned(points[0]), turned(points[1]), turned(points[2])];
  const [low, high] = start[0] <= end[0] ? [start, end] : [end, start];
  const t = (2 * (middle[0] - low[0])) / (high[0] - low[0]) - 1;
  const mean = (low[1] + high[1]) / 2;
  const tilt = (high[1] - low[1]) / 2;
  // at t the parabola mean + tilt t + bend (t^2 - 1) passes through the middle point
  const bend = (middle[1] - mean - tilt * t) / (t * t - 1);
  return { steep, from: low[0], to: high[0], curve: [mean - bend, tilt, bend] };
}
