import type { Raster } from '../raster.js';
import type { Ground } from './local-ground.js';
import { lumaAt } from './luma.js';
import type { RimPoints } from './rim-points.js';

/** How the picture changes across the rim of an object. */
export interface RimProfile {
  /** Median difference of the rim to the ground in luma, 0 or more. */
  readonly contrast: number;
  /** Median way in pixels in which it rises from 10 to 90 % of that, going inwards; null when hardly any edge is seen. */
  readonly edgeWidthPx: number | null;
}

/** Samples across the rim, at most; their step is half a pixel for all but large objects. */
const SAMPLES = 56;
/** The rim lies no deeper inside the outline than this, as a share of the equivalent diameter, and in pixels. */
const DEEPEST_SHARE = 0.16;
const DEEPEST_PX = 2;
/** It is sought from this far outside the outline inwards. */
const START_SHARE = 0.06;
const START_PX = 1;
/** Its foot is sought as far as this outside the outline. */
const REACH_SHARE = 0.5;
const REACH_PX = 4;
/** A fall back by this share ends the rise: what comes further in belongs to the inside. */
const FALL = 0.15;
/** A maximum counts as the rim from this share of the greatest difference on. */
const LEAST_PEAK = 0.5;
/** A rim must differ from the ground by this many standard deviations of its noise. */
const LEAST_SIGNAL = 3;
/** Share of the places that must show an edge. */
const LEAST_SHARE = 0.25;

/**
 * Contrast and sharpness of a rim. At each rim point the picture is read along a line at a right angle to the outline.
 * Going inwards from just outside, the rim is the first maximum of the difference to the ground (darker on light
 * ground, brighter on dark); going back outwards from there, the edge is where the difference has fallen to 90 and to
 * 10 % of it, between the samples. Places where it does not fall that far (a neighbour touches) or stays within the
 * noise are left out. The medians over the places are given.
 *
 * @param polarity -1 when objects are darker than the ground, 1 when they are brighter
 */
export function rimProfile(
  raster: Raster,
  rim: RimPoints,
  ground: Ground,
  { diameterPx, polarity }: { readonly diameterPx: number; readonly polarity: 1 | -1 },
): RimProfile {
  const inside = Math.max(DEEPEST_PX, DEEPEST_SHARE * diameterPx);
  const outside = Math.max(REACH_PX, REACH_SHARE * diameterPx);
  const step = Math.max(0.5, (inside + outside) / (SAMPLES - 1));
  const count = Math.floor((inside + outside) / step) + 1;
  const start = Math.min(count - 1, Math.ceil((inside + START_PX + START_SHARE * diameterPx) / step));

  const profile = new Float64Array(count);
  const contrasts = new Float64Array(rim.count);
  const widths = new Float64Array(rim.count);
  let edges = 0;
  for (let index = 0; index < rim.count; index++) {
    const outX = rim.outwards[2 * index];
    const outY = rim.outwards[2 * index + 1];
    const innerX = rim.points[2 * index] - inside * outX;
    const innerY = rim.points[2 * index + 1] - inside * outY;
    for (let sample = 0; sample <= start; sample++) {
      const luma = lumaAt(raster, innerX + sample * step * outX, innerY + sample * step * outY);
      profile[sample] = polarity * (luma - ground.luma);
    }
    const peak = firstPeak(profile, start);
    const height = Math.max(0, profile[peak]);
    contrasts[index] = height;
    if (height < LEAST_SIGNAL * ground.noise) continue;

    // Read on outwards only as far as the foot of the edge.
    let end = start;
    while (profile[end] > 0.1 * height && end + 1 < count) {
      end++;
      const luma = lumaAt(raster, innerX + end * step * outX, innerY + end * step * outY);
      profile[end] = polarity * (luma - ground.luma);
    }
    const lower = crossing(profile, peak, end, 0.1 * height);
    if (lower !== null) widths[edges++] = (lower - (crossing(profile, peak, end, 0.9 * height) ?? lower)) * step;
  }
  return {
    contrast: median(contrasts),
    edgeWidthPx: edges >= LEAST_SHARE * rim.count ? median(widths.subarray(0, edges)) : null,
  };
}

/** Sample of the first maximum from `start` inwards that is followed by a fall, small ones on the way up not counted. */
function firstPeak(profile: Float64Array, start: number): number {
  let greatest = 0;
  for (let sample = 0; sample <= start; sample++) greatest = Math.max(greatest, profile[sample]);
  let peak = start;
  for (let sample = start - 1; sample >= 0; sample--) {
    if (profile[sample] > profile[peak]) peak = sample;
    else if (profile[peak] > LEAST_PEAK * greatest && profile[sample] < (1 - FALL) * profile[peak]) break;
  }
  return peak;
}

/** Where the profile first falls to `level` on the way from `peak` to `end`, in samples, or null. */
function crossing(profile: Float64Array, peak: number, end: number, level: number): number | null {
  for (let sample = peak + 1; sample <= end; sample++) {
    const above = profile[sample - 1];
    if (profile[sample] <= level) return sample - 1 + (above - level) / (above - profile[sample]);
  }
  return null;
}

/** Middle value; sorts in place. Of an even number the upper of the two in the middle. */
function median(values: Float64Array): number {
  return values.sort()[values.length >> 1];
}
