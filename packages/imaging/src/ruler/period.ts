/** Shortest period looked for, samples. */
const LEAST_PERIOD = 2.5;
/** Of peaks about as high as the highest, the first counts: a period repeats at its multiples. */
const NEAR_BEST = 0.75;
/** Values are clipped at so many robust deviations. */
const CLIP = 3;

/** A period in a run of values. */
export interface Period {
  /** Samples. */
  readonly length: number;
  /** Correlation of the run with itself one period on, -1..1. */
  readonly correlation: number;
}

/** The run less its moving mean, clipped. */
export function levelled(run: Float64Array, reach: number): Float64Array {
  const level = new Float64Array(run.length);
  let sum = 0;
  let count = 0;
  let enter = 0;
  let leave = 0;
  for (let i = 0; i < run.length; i++) {
    for (; enter < run.length && enter <= i + reach; enter++, count++) sum += run[enter];
    for (; leave < i - reach; leave++, count--) sum -= run[leave];
    level[i] = run[i] - sum / count;
  }
  const deviation = 1.4826 * (level.map(Math.abs).sort()[level.length >> 1] ?? 0);
  const limit = CLIP * Math.max(0.3, deviation);
  return level.map((value) => Math.max(-limit, Math.min(limit, value)));
}

/** Correlation of a run with itself, by lag in samples from 0. */
function autocorrelation(run: Float64Array, mostLag: number): Float64Array {
  const result = new Float64Array(mostLag + 1);
  let square = 0;
  for (const value of run) square += value * value;
  if (square === 0) return result;
  for (let lag = 0; lag <= mostLag; lag++) {
    let sum = 0;
    const end = run.length - lag;
    for (let i = 0; i < end; i++) sum += run[i] * run[i + lag];
    result[lag] = (sum * run.length) / (end * square);
  }
  return result;
}

/** Place of the top of the parabola through a peak and its neighbours. */
function peakPlace(values: Float64Array, at: number): number {
  const bend = values[at - 1] - 2 * values[at] + values[at + 1];
  const part = bend < 0 ? (0.5 * (values[at - 1] - values[at + 1])) / bend : 0;
  return at + Math.max(-0.5, Math.min(0.5, part));
}

/**
 * The period of a run of values, refined by its multiples.
 *
 * @param run levelled values
 * @param mostLag longest period, samples; a run of three such lengths is long enough
 * @returns null when nothing repeats
 */
export function findPeriod(run: Float64Array, mostLag: number): Period | null {
  const values = autocorrelation(run, Math.min(mostLag, (run.length / 2) | 0));
  const peaks: number[] = [];
  for (let lag = 2; lag + 1 < values.length; lag++) {
    if (values[lag] > 0 && values[lag] >= values[lag - 1] && values[lag] >= values[lag + 1]) peaks.push(lag);
  }
  const highest = Math.max(0, ...peaks.map((lag) => values[lag]));
  const first = peaks.find((lag) => values[lag] >= NEAR_BEST * highest);
  if (first === undefined) return null;
  let length = peakPlace(values, first);
  for (let times = 2; times * (length + 0.5) < values.length - 1; times++) {
    const expected = times * length;
    const reach = Math.max(1, Math.round(0.25 * length));
    let best = Math.round(expected);
    for (let lag = best - reach; lag <= best + reach; lag++) {
      if (lag > 0 && lag + 1 < values.length && values[lag] > values[best]) best = lag;
    }
    if (best + 1 >= values.length || values[best] < values[best - 1] || values[best] < values[best + 1]) break;
    length = peakPlace(values, best) / times;
  }
  return length < LEAST_PERIOD ? null : { length, correlation: highest };
}
