/** Samples of more than 8 bits, rows from the top, channels interleaved. */
export type DeepSamples = Uint16Array | Int16Array | Uint32Array | Int32Array | Float32Array | Float64Array;

/** Share of samples that may lie above white, so that a few hot pixels don't darken the picture. */
const HOT_SHARE = 1e-4;
const BINS = 65_536;

/** Levels that become black and white. */
export interface Levels {
  readonly black: number;
  readonly white: number;
}

function range(samples: DeepSamples): { least: number; most: number } {
  let least = Infinity;
  let most = -Infinity;
  for (const value of samples) {
    if (value < least) least = value;
    if (value > most && value < Infinity) most = value;
  }
  return { least: Number.isFinite(least) ? least : 0, most: Number.isFinite(most) ? most : 0 };
}

/**
 * Finds the levels that a deep picture really uses: black is 0 (or the least value when that is negative), white the
 * real maximum without the brightest 0.01 % (hot pixels). Data of 12 bits in a 16-bit file so come out bright, not
 * black; a file that uses the top half of `full` keeps `full` as its white and so its exposure.
 *
 * @param samples finite numbers; an empty or all-zero picture gives white 1
 * @param full largest value the format can hold, or null when it has none (floating point)
 */
export function findLevels(samples: DeepSamples, full: number | null): Levels {
  const { least, most } = range(samples);
  const black = Math.min(0, least);
  if (!(most > black)) return { black, white: black + 1 };
  const counts = new Uint32Array(BINS);
  const perBin = (most - black) / (BINS - 1);
  for (const value of samples) counts[Math.min(BINS - 1, Math.max(0, Math.round((value - black) / perBin)))]++;
  let above = 0;
  let bin = BINS - 1;
  for (; bin > 0; bin--) {
    above += counts[bin];
    if (above > samples.length * HOT_SHARE) break;
  }
  const white = black + Math.max(bin, 1) * perBin;
  return { black, white: full !== null && white >= full / 2 ? full : white };
}

/**
 * Maps deep samples to 8-bit RGB between the given levels, rounded and clipped; one channel becomes grey, channels
 * after the third are dropped.
 *
 * @param samples interleaved samples
 * @param channels channels a pixel; two (grey with another) counts as one
 * @param levels as `findLevels` gives them
 * @returns three bytes a pixel
 */
export function toBytes(samples: DeepSamples, channels: number, levels: Levels): Uint8Array {
  const pixels = Math.floor(samples.length / channels);
  const data = new Uint8Array(pixels * 3);
  const gain = 255 / (levels.white - levels.black);
  const green = channels >= 3 ? 1 : 0;
  const byte = (value: number): number => Math.min(255, Math.max(0, Math.round((value - levels.black) * gain)));
  for (let pixel = 0, from = 0, to = 0; pixel < pixels; pixel++, from += channels, to += 3) {
    data[to] = byte(samples[from]);
    data[to + 1] = byte(samples[from + green]);
    data[to + 2] = byte(samples[from + 2 * green]);
  }
  return data;
}
