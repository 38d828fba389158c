import { lineSums } from '../grid/line-sums.js';
import type { TextureMap } from './texture-map.js';

/** Anisotropies are clipped at so many standard deviations, so that no larva outweighs a row of faint lines. */
const CLIP = 5;
/** Every so many blocks one is taken for the standard deviation; no divisor of a usual width. */
const SAMPLED = 7;
/** Least sum over the root of the length for a straight row of blocks to be looked at, standard deviations. */
const LEAST_SCORE = 6;
/** Taken off each block before the stretch of a row is sought that stands out, standard deviations. */
const BIAS = 1.5;
/** So many of the surest rows are looked at closely. */
const MOST_ROWS = 80;
/** Rows that keep within this distance are the same, blocks. */
const SAME_ROW = 5;
/** Half the height that lines may have, blocks: so far the middle may lie from a row through them. */
const MOST_SHIFT = 8;
/** Least length of a ruler, blocks. */
const LEAST_BLOCKS = 5;

/** Where a row of parallel lines may lie. */
export interface RulerAxis {
  /** A point on it, pixels. */
  readonly x: number;
  readonly y: number;
  /** Direction across the lines, which is along the row, radians clockwise from x, -pi/2..pi/2. */
  readonly angle: number;
  /** Stretch that stands out, pixels along the direction from the point. */
  readonly from: number;
  readonly to: number;
  /** Sum of what stands out, standard deviations; the greater the surer. */
  readonly score: number;
}

/** Straight row of blocks: across = start + slope * along. */
interface Row {
  readonly steep: boolean;
  readonly start: number;
  readonly slope: number;
  readonly score: number;
}

interface Stretch extends Row {
  readonly from: number;
  readonly to: number;
}

/** The four octants of directions that line sums go through, with their middle direction, radians. */
const TURNS = [
  { steep: true, mirrored: false, middle: (3 * Math.PI) / 8 },
  { steep: true, mirrored: true, middle: (5 * Math.PI) / 8 },
  { steep: false, mirrored: false, middle: Math.PI / 8 },
  { steep: false, mirrored: true, middle: -Math.PI / 8 },
] as const;
type Turn = (typeof TURNS)[number];

/**
 * Straight rows of blocks in which the picture changes along the row more than across it, as it does along a row of short lines
 * that stand across it. The surest first; many are chance.
 *
 * @param map gradients by blocks
 * @param most how many at most
 */
export function rulerAxes(map: TextureMap, most: number): RulerAxis[] {
  const stretches: { stretch: Stretch; values: Float32Array }[] = [];
  for (const turn of TURNS) {
    const values = anisotropy(map, turn.middle);
    for (const row of surestRows(map, values, turn)) {
      const stretch = stretchOf(map, values, row);
      if (stretch.to - stretch.from + 1 >= LEAST_BLOCKS) stretches.push({ stretch, values });
    }
  }
  stretches.sort((one, other) => other.stretch.score - one.stretch.score);
  const kept: { stretch: Stretch; values: Float32Array }[] = [];
  for (const one of stretches) {
    if (kept.length >= most) break;
    if (!kept.some((other) => isSame(one.stretch, other.stretch))) kept.push(one);
  }
  return kept.map(({ stretch, values }) => axisOf(map, values, stretch));
}

/** Change along a direction less change across it, in clipped standard deviations. */
function anisotropy({ xx, yy, xy }: TextureMap, direction: number): Float32Array {
  const c = Math.cos(2 * direction);
  const s = Math.sin(2 * direction);
  const values = new Float32Array(xx.length);
  const sizes: number[] = [];
  for (let i = 0; i < values.length; i++) {
    const value = (xx[i] - yy[i]) * c + 2 * xy[i] * s;
    values[i] = value;
    if (i % SAMPLED === 0 && value !== 0) sizes.push(Math.abs(value));
  }
  const middle = Float32Array.from(sizes).sort()[sizes.length >> 1] ?? 0;
  const share = 1 / Math.max(1e-7, 1.4826 * middle);
  for (let i = 0; i < values.length; i++) values[i] = Math.max(-CLIP, Math.min(CLIP, values[i] * share));
  return values;
}

/** The octant turned so that line sums see it as leaning right and running down. */
function turned(map: TextureMap, values: Float32Array, { steep, mirrored }: Turn): Float32Array {
  const [width, height] = steep ? [map.width, map.height] : [map.height, map.width];
  const result = new Float32Array(values.length);
  for (let along = 0; along < height; along++) {
    for (let across = 0; across < width; across++) {
      const place = mirrored ? width - 1 - across : across;
      result[along * width + place] = steep ? values[along * width + across] : values[across * map.width + along];
    }
  }
  return result;
}

function surestRows(map: TextureMap, values: Float32Array, turn: Turn): Row[] {
  const [width, height] = turn.steep ? [map.width, map.height] : [map.height, map.width];
  const { rows, columns, sums } = lineSums(turned(map, values, turn), width, height);
  const least = LEAST_SCORE * Math.sqrt(LEAST_BLOCKS);
  const found: Row[] = [];
  for (let shift = 0; shift < rows; shift += 2) {
    const slope = shift / (rows - 1);
    for (let column = 1; column < columns - 1; column++) {
      const at = shift * columns + column;
      const sum = sums[at];
      if (sum < least || sums[at - 1] > sum || sums[at + 1] > sum) continue;
      const start = column - rows;
      const length = lengthInside(start, slope, width, height);
      const score = sum / Math.sqrt(Math.max(LEAST_BLOCKS, length));
      if (score < LEAST_SCORE) continue;
      const { steep, mirrored } = turn;
      found.push({ steep, start: mirrored ? width - 1 - start : start, slope: mirrored ? -slope : slope, score });
    }
  }
  return found.sort((one, other) => other.score - one.score).slice(0, MOST_ROWS);
}

function lengthInside(start: number, slope: number, width: number, height: number): number {
  const end = start + slope * (height - 1);
  if (slope === 0) return start >= 0 && start < width ? height : 0;
  const low = Math.max(0, -start / slope);
  const high = Math.min(height - 1, (width - 1 - start) / slope);
  return end < 0 ? 0 : Math.max(0, high - low);
}

/** The stretch of a row with the greatest sum of what is above the bias. */
function stretchOf(map: TextureMap, values: Float32Array, row: Row): Stretch {
  const length = row.steep ? map.height : map.width;
  const limit = row.steep ? map.width : map.height;
  let best = { from: 0, to: -1, score: 0 };
  let sum = 0;
  let from = 0;
  for (let along = 0; along < length; along++) {
    const across = Math.round(row.start + row.slope * along);
    const inside = across >= 0 && across < limit;
    const at = row.steep ? along * map.width + across : across * map.width + along;
    if (sum <= 0) {
      sum = 0;
      from = along;
    }
    sum += (inside ? values[at] : 0) - BIAS;
    if (sum > best.score) best = { from, to: along, score: sum };
  }
  return { ...row, ...best };
}

function pointsOf(row: Stretch): [number, number][] {
  return [row.from, (row.from + row.to) / 2, row.to].map((along): [number, number] => {
    const across = row.start + row.slope * along;
    return row.steep ? [across, along] : [along, across];
  });
}

/** Whether the middle of one stretch lies on the other and both lean alike. */
function isSame(one: Stretch, other: Stretch): boolean {
  const [from, , to] = pointsOf(other);
  const [, middle] = pointsOf(one);
  const dx = to[0] - from[0];
  const dy = to[1] - from[1];
  const length = Math.hypot(dx, dy);
  const share = ((middle[0] - from[0]) * dx + (middle[1] - from[1]) * dy) / (length * length);
  const apart = Math.abs((middle[0] - from[0]) * dy - (middle[1] - from[1]) * dx) / length;
  return share > -0.1 && share < 1.1 && apart < SAME_ROW;
}

/** The direction in which the blocks of a stretch change, and the row through them that stands out most in that direction. */
function axisOf(map: TextureMap, values: Float32Array, stretch: Stretch): RulerAxis {
  const points = pointsOf(stretch);
  let [x, y] = points[1];
  const half = Math.hypot(points[2][0] - points[0][0], points[2][1] - points[0][1]) / 2;
  let c = 0;
  let s = 0;
  for (let along = stretch.from; along <= stretch.to; along++) {
    const across = Math.round(stretch.start + stretch.slope * along);
    const at = stretch.steep ? along * map.width + across : across * map.width + along;
    const difference = map.xx[at] - map.yy[at];
    const size = Math.hypot(difference, 2 * map.xy[at]);
    // each block has a vote as strong as what stands out of it, however dark its lines
    if (!(values[at] > BIAS) || size === 0) continue;
    c += (values[at] * difference) / size;
    s += (values[at] * 2 * map.xy[at]) / size;
  }
  const angle = Math.atan2(s, c) / 2;
  const shift = bestShift(map, values, { x, y, angle, half });
  x -= shift * Math.sin(angle);
  y += shift * Math.cos(angle);
  const { block } = map;
  const centre = (place: number): number => place * block + (block - 1) / 2;
  return { x: centre(x), y: centre(y), angle, from: -half * block, to: half * block, score: stretch.score };
}

/** How far across, in blocks, the sum along the direction is greatest: the middle of the shifts near the best. */
function bestShift(
  map: TextureMap,
  values: Float32Array,
  at: { readonly x: number; readonly y: number; readonly angle: number; readonly half: number },
): number {
  const reach = Math.min(MOST_SHIFT, Math.ceil(at.half));
  const sums: number[] = [];
  for (let shift = -reach; shift <= reach; shift++) {
    let sum = 0;
    for (let along = -Math.floor(at.half); along <= at.half; along++) {
      const column = Math.round(at.x + along * Math.cos(at.angle) - shift * Math.sin(at.angle));
      const row = Math.round(at.y + along * Math.sin(at.angle) + shift * Math.cos(at.angle));
      if (column < 0 || row < 0 || column >= map.width || row >= map.height) continue;
      sum += values[row * map.width + column];
    }
    sums.push(sum);
  }
  const best = sums.indexOf(Math.max(...sums));
  const enough = 0.8 * sums[best];
  let low = best;
  let high = best;
  while (low > 0 && sums[low - 1] >= enough) low--;
  while (high < sums.length - 1 && sums[high + 1] >= enough) high++;
  return (low + high) / 2 - reach;
}
