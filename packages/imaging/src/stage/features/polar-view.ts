import type { Outline, Raster } from '../../raster.js';
import { middleOf } from './nth-smallest.js';
import { rimRadii } from './rim-radii.js';

/** Rays of a polar view, the first along the length axis, clockwise. */
export const RAYS = 64;
/** Samples from the middle to the rim; sample k lies at (k + 0.5) / RINGS of the rim's radius. */
export const RINGS = 16;
/** Samples beyond the rim; sample k lies (k + 0.5) * BEYOND_STEP equivalent diameters outside. */
export const BEYOND = 14;
const BEYOND_STEP = 0.025;
/** From this sample beyond the rim on the ground is looked at. */
const GROUND_FROM = 8;
const WIDTH = RINGS + BEYOND;
const BLACK = 0.5;

/** Natural logarithm of the light behind each byte (transfer curve of sRGB, IEC 61966-2-1), in units of white. */
const LOG_LIGHT = Float64Array.from({ length: 256 }, (_, byte) => {
  const value = Math.max(BLACK, byte) / 255;
  return Math.log(value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4);
});

/** Optical density of an object and of what lies just around it, by direction and distance from the middle. */
export interface PolarView {
  /** Radius of the rim along each ray, pixels. */
  readonly radiiPx: Float64Array;
  /**
   * Optical density against the ground around, ln(ground / light) of green: ray by ray, each `RINGS` samples inside and
   * `BEYOND` beyond the rim. 0 is clear, 0.7 holds half of the light back, below 0 is brighter than the ground.
   */
  readonly density: Float64Array;
  /** Density of blue less that of red, laid out the same: above 0 looks yellow to brown, below 0 blue. */
  readonly warmth: Float64Array;
  /** Standard deviation of the density of the ground, by its middle half; at least 0.001. */
  readonly groundNoise: number;
}

/** An object to look at: outline, middle and axes. */
export interface Viewed {
  readonly outline: Outline;
  readonly x: number;
  readonly y: number;
  /** Direction of the length, radians clockwise from x. */
  readonly axisRad: number;
  readonly equivalentDiameterPx: number;
}

/** Samples of one ray in a view: the first inside at `insideAt(ray)`, the first beyond at `beyondAt(ray)`. */
export const insideAt = (ray: number): number => ray * WIDTH;
export const beyondAt = (ray: number): number => ray * WIDTH + RINGS;

/** Half-width of the middle half of a normal distribution, in standard deviations. */
const HALF_OF_NORMAL = 0.6745;

/** Light of the ground around, in its logarithm, into `values`. */
function groundLight(light: Float64Array, values: Float64Array): Float64Array {
  let at = 0;
  for (let ray = 0; ray < RAYS; ray++) {
    for (let k = GROUND_FROM; k < BEYOND; k++) values[at++] = light[beyondAt(ray) + k];
  }
  return values;
}

/** Log light of red, green and blue by sample. */
interface Lights {
  readonly red: Float64Array;
  readonly green: Float64Array;
  readonly blue: Float64Array;
}

// Room for what is not given back, filled anew for each object.
const RED = new Float64Array(RAYS * WIDTH);
const GROUND = new Float64Array(RAYS * (BEYOND - GROUND_FROM));

/** Reads log light at (x, y) between the pixels into sample `at`; beyond the border that of the border. */
function readLight(
  { width, height, data }: Raster,
  x: number,
  y: number,
  { red, green, blue }: Lights,
  at: number,
): void {
  const insideX = Math.min(width - 1.001, Math.max(0, x));
  const insideY = Math.min(height - 1.001, Math.max(0, y));
  const column = Math.floor(insideX);
  const row = Math.floor(insideY);
  const shareX = insideX - column;
  const shareY = insideY - row;
  const here = (1 - shareX) * (1 - shareY);
  const right = shareX * (1 - shareY);
  const below = (1 - shareX) * shareY;
  const across = shareX * shareY;
  const p = 3 * (row * width + column);
  const q = p + 3 * width;
  const log = LOG_LIGHT;
  red[at] = here * log[data[p]] + right * log[data[p + 3]] + below * log[data[q]] + across * log[data[q + 3]];
  green[at] = here * log[data[p + 1]] + right * log[data[p + 4]] + below * log[data[q + 1]] + across * log[data[q + 4]];
  blue[at] = here * log[data[p + 2]] + right * log[data[p + 5]] + below * log[data[q + 2]] + across * log[data[q + 5]];
}

/**
 * Looks at an object along rays from its middle to its rim and beyond.
 *
 * @param raster picture of two pixels or more along each side
 * @param viewed object whose outline encloses an area
 */
export function polarView(raster: Raster, viewed: Viewed): PolarView {
  const radiiPx = rimRadii(viewed, RAYS);
  const samples = RAYS * WIDTH;
  const lights = { red: RED, green: new Float64Array(samples), blue: new Float64Array(samples) };
  for (let ray = 0; ray < RAYS; ray++) {
    const angle = viewed.axisRad + (2 * Math.PI * ray) / RAYS;
    const [alongX, alongY] = [Math.cos(angle), Math.sin(angle)];
    for (let k = 0; k < WIDTH; k++) {
      const distance =
        k < RINGS
          ? ((k + 0.5) / RINGS) * radiiPx[ray]
          : radiiPx[ray] + (k - RINGS + 0.5) * BEYOND_STEP * viewed.equivalentDiameterPx;
      readLight(raster, viewed.x + distance * alongX, viewed.y + distance * alongY, lights, ray * WIDTH + k);
    }
  }
  const { red, green, blue } = lights;
  const ground = GROUND;
  const level = middleOf(groundLight(green, ground));
  for (let at = 0; at < ground.length; at++) ground[at] = Math.abs(ground[at] - level);
  const noise = middleOf(ground) / HALF_OF_NORMAL;
  const tint = middleOf(groundLight(blue, ground)) - middleOf(groundLight(red, ground));
  // green and blue become density and warmth in place
  for (let at = 0; at < samples; at++) {
    green[at] = level - green[at];
    blue[at] = tint - blue[at] + red[at];
  }
  return { radiiPx, density: green, warmth: blue, groundNoise: Math.max(0.001, noise) };
}
