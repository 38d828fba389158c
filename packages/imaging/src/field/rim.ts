import type { Raster } from '../raster.js';
import { fitCircle, type Circle, type Points } from './circle.js';
import { brightnessAt, quantile } from './shrunk.js';

const RAYS = 720;
/** Stretch of each ray that is looked at, over the radius, and where in it field and surround lie. */
const FROM = 0.9;
const TO = 1.1;
const FIELD_TO = 0.96;
const SURROUND_FROM = 1.04;
/** Samples along a ray. */
const SAMPLES = 200;
/** Light of the surround over that of the field, at most, for the rim to be the edge of an eyepiece field. */
const MOST_SURROUND = 0.5;
/** Least share of the rays in sight that must show such an edge. */
const LEAST_RAYS = 0.5;
/** Longest stretch over the radius in which the light falls from three quarters to one; shading falls more slowly. */
const MOST_FALL = 0.08;

/** Light from a stored byte, 0 to 1 (sRGB, IEC 61966-2-1). */
const LIGHT = Float64Array.from({ length: 256 }, (_, level) => {
  const share = level / 255;
  return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
});

const lightOf = (raster: Raster, x: number, y: number): number =>
  LIGHT[Math.round(brightnessAt(raster.data, 3 * (Math.round(y) * raster.width + Math.round(x))))];

/** Light along a ray, each sample the mean of three abreast; null when the ray leaves the picture. */
function profile(raster: Raster, circle: Circle, angle: number): Float64Array | null {
  const cos = Math.cos(angle);
  const sin = Math.sin(angle);
  const endX = circle.x + TO * circle.radius * cos;
  const endY = circle.y + TO * circle.radius * sin;
  const abreast = circle.radius / 400;
  const margin = abreast + 1;
  if (endX < margin || endY < margin || endX > raster.width - 1 - margin || endY > raster.height - 1 - margin)
    return null;
  const light = new Float64Array(SAMPLES + 1);
  for (let i = 0; i <= SAMPLES; i++) {
    const along = circle.radius * (FROM + ((TO - FROM) * i) / SAMPLES);
    for (const side of [-abreast, 0, abreast]) {
      light[i] += lightOf(raster, circle.x + along * cos - side * sin, circle.y + along * sin + side * cos) / 3;
    }
  }
  return light;
}

const indexOf = (share: number): number => Math.round(((share - FROM) / (TO - FROM)) * SAMPLES);

/** First place where the light falls below a level and stays there for a hundredth of the radius; null when none. */
function fallBelow(light: Float64Array, level: number): number | null {
  const stay = Math.round(0.01 / ((TO - FROM) / SAMPLES));
  for (let i = indexOf(0.92); i + stay <= SAMPLES; i++) {
    if (light[i] >= level) continue;
    let low = 1;
    while (low < stay && light[i + low] < level) low++;
    if (low < stay) continue;
    const before = light[i - 1];
    const part = before > level ? (before - level) / (before - light[i]) : 0;
    return FROM + ((TO - FROM) * (i - 1 + part)) / SAMPLES;
  }
  return null;
}

/** Where on a ray the light is half of the field's, over the radius; null when no sharp edge is there. */
function edgeOf(light: Float64Array): number | null {
  const field = quantile(light.subarray(0, indexOf(FIELD_TO)), 0.75);
  const surround = quantile(light.subarray(indexOf(SURROUND_FROM)), 0.1);
  if (surround > MOST_SURROUND * field) return null;
  const above = fallBelow(light, surround + 0.75 * (field - surround));
  const half = fallBelow(light, surround + 0.5 * (field - surround));
  const below = fallBelow(light, surround + 0.25 * (field - surround));
  if (above === null || half === null || below === null || below - above > MOST_FALL) return null;
  return half;
}

/**
 * Fits the circle anew at full scale, to the places where the light is half of that inside.
 *
 * @param raster picture
 * @param rough circle in its pixels, good to 2 % or so
 * @returns the circle, or null when too few rays show a sharp edge: the picture is shaded, not round
 */
export function fitRim(raster: Raster, rough: Circle): Circle | null {
  const xs: number[] = [];
  const ys: number[] = [];
  let inSight = 0;
  for (let ray = 0; ray < RAYS; ray++) {
    const angle = (2 * Math.PI * ray) / RAYS;
    const light = profile(raster, rough, angle);
    if (light === null) continue;
    inSight++;
    const edge = edgeOf(light);
    if (edge === null) continue;
    xs.push(rough.x + edge * rough.radius * Math.cos(angle));
    ys.push(rough.y + edge * rough.radius * Math.sin(angle));
  }
  const points: Points = { xs, ys };
  return xs.length < 12 || xs.length < LEAST_RAYS * inSight ? null : fitCircle(points, rough);
}
