/** Profiles across a line: numbers at whole working pixels, with the expected middle of the line in the middle. */

/** Sums over their count, weighted 1 2 1 with both neighbours: lines about a pixel wide look the same wherever they fall. */
export function smoothed(sums: Float64Array, count: number): Float64Array {
  const last = sums.length - 1;
  const profile = new Float64Array(sums.length);
  for (let k = 0; k <= last; k++) {
    profile[k] = (sums[k === 0 ? 0 : k - 1] + 2 * sums[k] + sums[k === last ? last : k + 1]) / (4 * count);
  }
  return profile;
}

/** Centre of the squared deviation from the profile's median within 4 px of its greatest, relative to the middle. */
export function energyCentre(profile: Float64Array, reach: number): number {
  const base = profile.slice().sort()[reach];
  let best = 0;
  let bestEnergy = -1;
  for (let k = 1; k + 1 < profile.length; k++) {
    const energy = (profile[k - 1] - base) ** 2 + 2 * (profile[k] - base) ** 2 + (profile[k + 1] - base) ** 2;
    if (energy > bestEnergy) {
      bestEnergy = energy;
      best = k;
    }
  }
  let sum = 0;
  let moment = 0;
  for (let k = Math.max(0, best - 4); k <= Math.min(profile.length - 1, best + 4); k++) {
    const energy = (profile[k] - base) ** 2;
    sum += energy;
    moment += energy * (k - reach);
  }
  return sum > 0 ? moment / sum : 0;
}

/** Median over profiles at each place across, less its own median. */
export function medianProfile(profiles: readonly Float64Array[]): Float64Array {
  const size = profiles[0].length;
  const profile = new Float64Array(size);
  const sorted = new Float64Array(profiles.length);
  for (let k = 0; k < size; k++) {
    for (let i = 0; i < sorted.length; i++) sorted[i] = profiles[i][k];
    sorted.sort();
    profile[k] = sorted[sorted.length >> 1];
  }
  const base = profile.slice().sort()[size >> 1];
  return profile.map((value) => value - base);
}

/** What stands out in a profile. */
export interface ProfileShape {
  /** Middle of the part that stands out, relative to the middle of the profile. */
  readonly centre: number;
  /** Half the width that stands out, working pixels. */
  readonly halfWidth: number;
  /** Greatest deviation from the ground, 0 and up. */
  readonly peak: number;
  /** First and last place used for matching. */
  readonly first: number;
  readonly last: number;
}

/** The part of a profile above a quarter of its greatest deviation, both signs. */
export function profileShape(profile: Float64Array): ProfileShape | null {
  const middle = (profile.length - 1) / 2;
  let peak = 0;
  for (let k = middle - 5; k <= middle + 5; k++) peak = Math.max(peak, Math.abs(profile[k]));
  if (peak === 0) return null;
  let first = profile.length;
  let last = -1;
  for (let k = middle - 7; k <= middle + 7; k++) {
    if (Math.abs(profile[k]) < peak / 4) continue;
    first = Math.min(first, k);
    last = Math.max(last, k);
  }
  let energy = 0;
  let moment = 0;
  for (let k = first; k <= last; k++) {
    energy += profile[k] ** 2;
    moment += profile[k] ** 2 * (k - middle);
  }
  const centre = moment / energy;
  const halfWidth = (last - first + 1) / 2;
  return {
    centre,
    halfWidth,
    peak,
    first: Math.max(3, first - 1),
    last: Math.min(profile.length - 4, last + 1),
  };
}

/** Shift of a strip against the template of greatest correlation, -3..3, refined by a parabola; NaN when it does not match. */
export function matchShift(profile: Float64Array, template: Float64Array, shape: ProfileShape): number {
  const { first, last } = shape;
  const scores: number[] = [];
  for (let shift = -3; shift <= 3; shift++) {
    let sum = 0;
    let sumP = 0;
    let sumT = 0;
    let sumPP = 0;
    let sumTT = 0;
    for (let k = first; k <= last; k++) {
      const p = profile[k + shift];
      const t = template[k];
      sum += p * t;
      sumP += p;
      sumT += t;
      sumPP += p * p;
      sumTT += t * t;
    }
    const n = last - first + 1;
    const spread = Math.sqrt((sumPP - (sumP * sumP) / n) * (sumTT - (sumT * sumT) / n));
    scores.push(spread > 0 ? (sum - (sumP * sumT) / n) / spread : 0);
  }
  let best = 1;
  for (let k = 1; k <= 5; k++) if (scores[k] > scores[best]) best = k;
  if (scores[best] < 0.6) return Number.NaN;
  const bend = scores[best - 1] - 2 * scores[best] + scores[best + 1];
  const part = bend < 0 ? (0.5 * (scores[best - 1] - scores[best + 1])) / bend : 0;
  return best - 3 + Math.max(-0.5, Math.min(0.5, part));
}
