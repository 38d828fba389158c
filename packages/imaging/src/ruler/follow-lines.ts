/** A line must show at least this share of the strength of those before it, and lie this near to where it is expected, divisions. */
const LEAST_STRENGTH = 0.35;
const MOST_MISS = 0.18;
/** Lines hidden in a row before the ruler is taken to end: a larva of two hundred micrometres hides twenty at most. */
const MOST_HIDDEN = 14;
/** So many of the last lines say where the next one lies. */
const MEMORY = 16;
/** So many lines to both sides of the start are compared to find one that is not hidden. */
const NEIGHBOURS = 6;
/** At an end of the ruler, of so many lines in a row at most one may be hidden. */
const END_RUN = 6;

/** A division line where it crosses the frame's axis. */
export interface RulerLine {
  readonly number: number;
  /** Place along the frame, pixels. */
  readonly along: number;
}

export interface Wave {
  readonly strength: number;
  /** Place of the wave's lowest (dark lines) or highest value relative to the place asked, pixels. */
  readonly shift: number;
}

/** Values at whole places along the frame. */
export interface Profile {
  readonly from: number;
  readonly values: Float64Array;
}

/** Strength and place of a wave of one division about a place, from two divisions under a bell; null at the ends of the profile. */
export function waveAt(profile: Profile, at: number, divisionPx: number, dark: boolean): Wave | null {
  const { from, values } = profile;
  const first = Math.ceil(at - divisionPx);
  const last = Math.floor(at + divisionPx);
  if (first < from || last > from + values.length - 1) return null;
  let re = 0;
  let im = 0;
  let weights = 0;
  let mean = 0;
  for (let place = first; place <= last; place++) {
    const weight = 0.5 + 0.5 * Math.cos((Math.PI * (place - at)) / divisionPx);
    weights += weight;
    mean += weight * values[place - from];
  }
  mean /= weights;
  for (let place = first; place <= last; place++) {
    const weight = 0.5 + 0.5 * Math.cos((Math.PI * (place - at)) / divisionPx);
    const turn = (2 * Math.PI * (place - at)) / divisionPx;
    const value = weight * (values[place - from] - mean) * (dark ? -1 : 1);
    re += value * Math.cos(turn);
    im += value * Math.sin(turn);
  }
  return { strength: Math.hypot(re, im) / weights, shift: (Math.atan2(im, re) * divisionPx) / (2 * Math.PI) };
}

/** Straight line through the latest lines: where the next one lies. */
function expected(latest: readonly RulerLine[], number: number, divisionPx: number): number {
  const lines = latest.slice(-MEMORY);
  const n = lines.length;
  const meanNumber = lines.reduce((sum, line) => sum + line.number, 0) / n;
  const meanAlong = lines.reduce((sum, line) => sum + line.along, 0) / n;
  let xx = 0;
  let xy = 0;
  for (const line of lines) {
    xx += (line.number - meanNumber) ** 2;
    xy += (line.number - meanNumber) * (line.along - meanAlong);
  }
  // until enough lines are known the division as given holds
  const slope = n < 6 ? divisionPx : xy / xx;
  return meanAlong + slope * (number - meanNumber);
}

/** Of the lines about a place the one that agrees best with the others: some may be hidden. */
function surestNear(
  profile: Profile,
  start: number,
  divisionPx: number,
  dark: boolean,
): { readonly along: number; readonly strength: number } | null {
  const waves: { at: number; wave: Wave }[] = [];
  for (let step = -NEIGHBOURS; step <= NEIGHBOURS; step++) {
    const at = start + step * divisionPx;
    const wave = waveAt(profile, at, divisionPx, dark);
    if (wave !== null) waves.push({ at, wave });
  }
  if (waves.length === 0) return null;
  const strength = median(waves.map(({ wave }) => wave.strength));
  // shifts go round by a division: they are compared with each other on the circle
  const apart = (one: Wave, other: Wave): number => {
    const part = (one.shift - other.shift) / divisionPx;
    return Math.abs(part - Math.round(part));
  };
  const disagreement = waves.map(({ wave }) => median(waves.map((other) => apart(wave, other.wave))));
  const { at, wave } = waves[disagreement.indexOf(Math.min(...disagreement))];
  return { along: at + wave.shift, strength };
}

const median = (values: readonly number[]): number => [...values].sort((a, b) => a - b)[values.length >> 1] ?? 0;

/**
 * Follows division lines from a known one to both ends, over lines that are hidden.
 *
 * @param profile mean brightness over rows that all lines cross
 * @param start about where one line lies
 * @param divisionPx distance of neighbours, within 1 %
 * @param dark whether the lines are darker than the ground
 * @returns the lines that show, in order along the frame; one near `start` has number 0
 */
export function followLines(profile: Profile, start: number, divisionPx: number, dark: boolean): RulerLine[] {
  const first = surestNear(profile, start, divisionPx, dark);
  if (first === null) return [];
  const origin = { number: 0, along: first.along };
  const found: RulerLine[] = [origin];
  for (const sign of [1, -1]) {
    const latest: RulerLine[] = sign === 1 ? [origin] : found.slice(0, MEMORY).reverse();
    const strengths = [first.strength];
    let hidden = 0;
    for (let number = sign; hidden <= MOST_HIDDEN; number += sign) {
      const at = expected(latest, number, divisionPx);
      const wave = waveAt(profile, at, divisionPx, dark);
      if (wave === null) break;
      const enough = LEAST_STRENGTH * median(strengths.slice(-MEMORY));
      if (wave.strength < enough || Math.abs(wave.shift) > MOST_MISS * divisionPx) {
        hidden++;
        continue;
      }
      hidden = 0;
      const line = { number, along: at + wave.shift };
      latest.push(line);
      strengths.push(wave.strength);
      found.push(line);
    }
  }
  return withoutStrays(found.sort((one, other) => one.number - other.number));
}

/** Takes lines off both ends until the last few follow each other: beyond a ruler's end chance shows a line here and there. */
function withoutStrays(lines: readonly RulerLine[]): RulerLine[] {
  let low = 0;
  let high = lines.length - 1;
  const run = Math.min(END_RUN, lines.length) - 1;
  while (low + run <= high && lines[low + run].number - lines[low].number > run + 1) low++;
  while (high - run >= low && lines[high].number - lines[high - run].number > run + 1) high--;
  return lines.slice(low, high + 1);
}
