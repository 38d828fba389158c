import { circleThrough, fitCircle, type Circle, type Points } from './circle.js';
import type { Shrunk } from './shrunk.js';

/** Least radius of an eyepiece field over the shorter side; smaller discs are objects. */
const LEAST_RADIUS = 0.25;
/** Largest radius over the longer side; beyond it the arc in sight is too flat to be told from a shadow. */
const MOST_RADIUS = 1.2;
/** Least share of the arc in sight that must show the edge, and least length of that arc in degrees. */
const LEAST_COVERAGE = 0.7;
const LEAST_ARC_DEG = 75;
/** An edge point belongs to the circle when it is this near, over the radius. */
const NEAR = 0.02;
/** Least share of bright pixels inside and most outside (a ghost of the eyepiece may shine there). */
const LEAST_BRIGHT_INSIDE = 0.75;
const MOST_BRIGHT_OUTSIDE = 0.2;
/** Thresholds between the dark surround and the bright middle that are tried. */
const LEVELS = [0.5, 0.3, 0.7];
const TRIALS = 300;
/** Edge points that each trial circle is held against; more do not change which is best. */
const JUDGES = 600;

/** Pixels of the largest connected bright area (four neighbours), with its holes filled. */
function largestArea({ width, height, data }: Shrunk, threshold: number): Uint8Array {
  const area = new Uint8Array(data.length);
  for (let i = 0; i < area.length; i++) area[i] = data[i] > threshold ? 1 : 0;
  const bright = label(area, width, height, 1);
  for (let i = 0; i < area.length; i++) area[i] = bright.of[i] === bright.largest && bright.largest > 0 ? 1 : 0;
  // dark areas that do not reach the edge of the picture are larvae on the field, not surround
  const dark = label(area, width, height, 0);
  const open = new Uint8Array(dark.count + 1);
  for (let i = 0; i < width; i++) open[dark.of[i]] = open[dark.of[(height - 1) * width + i]] = 1;
  for (let i = 0; i < height; i++) open[dark.of[i * width]] = open[dark.of[i * width + width - 1]] = 1;
  for (let i = 0; i < area.length; i++) if (open[dark.of[i]] === 0) area[i] = 1;
  return area;
}

/** Connected areas numbered from 1, 0 elsewhere; the number of the largest (0 when there is none) and how many there are. */
interface Labels {
  readonly of: Int32Array;
  readonly largest: number;
  readonly count: number;
}

/** Numbers the connected areas of one value (four neighbours). */
function label(mask: Uint8Array, width: number, height: number, wanted: number): Labels {
  const of = new Int32Array(mask.length);
  const stack = new Int32Array(mask.length);
  const last = width * (height - 1);
  let count = 0;
  let largest = 0;
  let most = 0;
  for (let start = 0; start < mask.length; start++) {
    if (mask[start] !== wanted || of[start] !== 0) continue;
    of[start] = ++count;
    stack[0] = start;
    let size = 0;
    let top = 1;
    for (; top > 0; size++) {
      const at = stack[--top];
      const column = at % width;
      if (column > 0 && mask[at - 1] === wanted && of[at - 1] === 0) of[(stack[top++] = at - 1)] = count;
      if (column < width - 1 && mask[at + 1] === wanted && of[at + 1] === 0) of[(stack[top++] = at + 1)] = count;
      if (at >= width && mask[at - width] === wanted && of[at - width] === 0) of[(stack[top++] = at - width)] = count;
      if (at < last && mask[at + width] === wanted && of[at + width] === 0) of[(stack[top++] = at + width)] = count;
    }
    if (size > most) [most, largest] = [size, count];
  }
  return { of, largest, count };
}

/** Borders between the area and the surround, half way between the two pixels; none at the edge of the picture. */
function edgePoints(area: Uint8Array, width: number, height: number): Points {
  const xs: number[] = [];
  const ys: number[] = [];
  for (let row = 1; row < height - 1; row++) {
    for (let column = 1; column < width - 1; column++) {
      const at = row * width + column;
      if (area[at] !== area[at + 1]) {
        xs.push(column + 0.5);
        ys.push(row);
      }
      if (area[at] !== area[at + width]) {
        xs.push(column);
        ys.push(row + 0.5);
      }
    }
  }
  return { xs, ys };
}

/** Small fixed generator (Park and Miller 1988), so that a photo always gives one answer. */
function* fixedRandom(): Generator<number, never> {
  for (let state = 20_011; ;) {
    state = (state * 48_271) % 2_147_483_647;
    yield state / 2_147_483_647;
  }
}

/** The circle that most edge points lie on, from random triples. */
function bestCircle(points: Points, shrunk: Shrunk): Circle | null {
  const random = fixedRandom();
  const pick = (): number => Math.floor(random.next().value * points.xs.length);
  const stride = Math.max(1, Math.floor(points.xs.length / JUDGES));
  let best: Circle | null = null;
  let most = 0;
  for (let trial = 0; trial < TRIALS; trial++) {
    const circle = circleThrough(points, pick(), pick(), pick());
    if (circle === null || !likelySize(circle, shrunk)) continue;
    let count = 0;
    for (let i = 0; i < points.xs.length; i += stride) {
      const dx = points.xs[i] - circle.x;
      const dy = points.ys[i] - circle.y;
      if (Math.abs(Math.sqrt(dx * dx + dy * dy) - circle.radius) < NEAR * circle.radius) count++;
    }
    if (count > most) [most, best] = [count, circle];
  }
  const fit = best === null ? null : fitCircle(nearPoints(points, best), best);
  return fit !== null && likelySize(fit, shrunk) ? fit : null;
}

function likelySize({ radius }: Circle, { width, height }: Shrunk): boolean {
  return radius >= LEAST_RADIUS * Math.min(width, height) && radius <= MOST_RADIUS * Math.max(width, height);
}

/** The points near a circle. */
function nearPoints({ xs, ys }: Points, circle: Circle): Points {
  const near = { xs: [] as number[], ys: [] as number[] };
  for (let i = 0; i < xs.length; i++) {
    if (Math.abs(Math.hypot(xs[i] - circle.x, ys[i] - circle.y) - circle.radius) > 2 * NEAR * circle.radius) continue;
    near.xs.push(xs[i]);
    near.ys.push(ys[i]);
  }
  return near;
}

/** Share of the arc in sight that has an edge point near, 0 when the arc is too short. */
function coverage(points: Points, circle: Circle, { width, height }: Shrunk): number {
  const found = new Uint8Array(360);
  for (let i = 0; i < points.xs.length; i++) {
    const dx = points.xs[i] - circle.x;
    const dy = points.ys[i] - circle.y;
    if (Math.abs(Math.hypot(dx, dy) - circle.radius) > NEAR * circle.radius) continue;
    found[(Math.round((Math.atan2(dy, dx) * 180) / Math.PI) + 360) % 360] = 1;
  }
  let inSight = 0;
  let hits = 0;
  for (let degree = 0; degree < 360; degree++) {
    const angle = (degree * Math.PI) / 180;
    const x = circle.x + circle.radius * Math.cos(angle);
    const y = circle.y + circle.radius * Math.sin(angle);
    if (x < 1 || y < 1 || x > width - 2 || y > height - 2) continue;
    inSight++;
    if (found[(degree + 359) % 360] + found[degree] + found[(degree + 1) % 360] > 0) hits++;
  }
  return inSight < LEAST_ARC_DEG ? 0 : hits / inSight;
}

/** Shares of bright pixels well inside and well outside the circle. */
function brightShares(shrunk: Shrunk, circle: Circle, threshold: number): { inside: number; outside: number } {
  const count = { inside: 0, outside: 0 };
  const bright = { inside: 0, outside: 0 };
  for (let at = 0; at < shrunk.data.length; at++) {
    const distance = Math.hypot((at % shrunk.width) - circle.x, Math.floor(at / shrunk.width) - circle.y);
    const side = distance < 0.97 * circle.radius ? 'inside' : distance > 1.03 * circle.radius ? 'outside' : null;
    if (side === null) continue;
    count[side]++;
    if (shrunk.data[at] > threshold) bright[side]++;
  }
  return { inside: bright.inside / Math.max(1, count.inside), outside: bright.outside / Math.max(1, count.outside) };
}

function discAt(shrunk: Shrunk, threshold: number): Circle | null {
  const { width, height } = shrunk;
  const area = largestArea(shrunk, threshold);
  // a disc that holds all four corners holds the whole picture
  const corners = [0, width - 1, (height - 1) * width, height * width - 1];
  if (corners.every((corner) => area[corner] === 1)) return null;
  const points = edgePoints(area, width, height);
  if (points.xs.length < 30) return null;
  const circle = bestCircle(points, shrunk);
  if (circle === null || coverage(points, circle, shrunk) < LEAST_COVERAGE) return null;
  const { inside, outside } = brightShares(shrunk, circle, threshold);
  return inside >= LEAST_BRIGHT_INSIDE && outside <= MOST_BRIGHT_OUTSIDE ? circle : null;
}

/**
 * Looks for the one bright disc on a dark surround that an eyepiece shows, whole or cut by the frame.
 *
 * @param shrunk copy of some 300 px on its longer side
 * @returns the circle in pixels of the copy, good to about one of them, or null when there is none
 */
export function findBrightDisc(shrunk: Shrunk): Circle | null {
  const sorted = shrunk.data.slice().sort();
  const [dark, bright] = [0.02, 0.9].map((share) => sorted[Math.floor(share * sorted.length)]);
  if (bright - dark < 12) return null;
  for (const level of LEVELS) {
    const circle = discAt(shrunk, dark + level * (bright - dark));
    if (circle !== null) return circle;
  }
  return null;
}
