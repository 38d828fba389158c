import type { Warning } from '@veligrid/model';
import type { Raster } from '../raster.js';

/** Least difference of levels that can be a picture of something. */
const LEAST_CONTRAST = 4;

/** Least and greatest level of the green channel, looked for until they are far enough apart. */
function greenRange({ data }: Raster): readonly [number, number] {
  let least = 255;
  let most = 0;
  for (let at = 1; at < data.length && most - least < LEAST_CONTRAST; at += 3) {
    if (data[at] < least) least = data[at];
    if (data[at] > most) most = data[at];
  }
  return [least, most];
}

/**
 * Warns of a picture that is the same all over, such as one taken with the lamp off or the lens cap on.
 *
 * @returns one warning `blank-picture`, or none
 */
export function blankWarning(raster: Raster): Warning[] {
  const [least, most] = greenRange(raster);
  if (most - least >= LEAST_CONTRAST) return [];
  const look = most < 64 ? 'black' : least > 191 ? 'white' : 'one shade';
  const message = `The picture is ${look} all over: nothing can be counted on it. Check the lamp, the focus and the exposure, and take it again.`;
  return [{ code: 'blank-picture', message }];
}
