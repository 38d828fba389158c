import { COUNTED_KINDS, type Field } from '@veligrid/model';
import { insideField } from '../field/inside-field.js';
import type { Found } from '../found.js';
import { equivalentDiameter } from '../measure/equivalent-diameter.js';
import { outlineMoments } from '../measure/outline-moments.js';
import type { Raster } from '../raster.js';
import type { Finder } from './finder.js';

/** Scales tried when none is known, as shares of the finder's own scale. */
const TRIED = [0.18, 0.26, 0.38, 0.56, 0.8, 1.16, 1.68];
/** Half a step, tried to both sides of the best. */
const BETWEEN = 1.2;
/** Most photos of slides have about this share of it (common practice, no source): middle and spread, logarithmic. */
const USUAL = 0.6;
const USUAL_SPREAD = 0.8;
/** Side of the windows looked at, pixels, and how many. */
const WINDOW = 640;
const WINDOWS = 3;

/** Mean square difference of neighbouring samples: busy windows hold objects. */
function busyness({ data, width }: Raster, left: number, top: number, side: number): number {
  let sum = 0;
  let count = 0;
  for (let y = top; y + 8 < top + side; y += 8) {
    for (let x = left; x + 8 < left + side; x += 8) {
      const i = (y * width + x) * 3 + 1;
      sum += (data[i] - data[i + 24]) ** 2 + (data[i] - data[i + 24 * width]) ** 2;
      count++;
    }
  }
  return count === 0 ? 0 : sum / count;
}

function cut(raster: Raster, left: number, top: number, side: number): Raster {
  const width = Math.min(side, raster.width - left);
  const height = Math.min(side, raster.height - top);
  const data = new Uint8Array(width * height * 3);
  for (let y = 0; y < height; y++) {
    const from = ((top + y) * raster.width + left) * 3;
    data.set(raster.data.subarray(from, from + width * 3), y * width * 3);
  }
  return { width, height, data };
}

/** The busiest windows whose middle lies in the field, busiest first, without overlap. */
function windowsOf(raster: Raster, field: Field): Raster[] {
  const places: { left: number; top: number; busy: number }[] = [];
  for (let top = 0; top === 0 || top + WINDOW / 2 < raster.height; top += WINDOW) {
    for (let left = 0; left === 0 || left + WINDOW / 2 < raster.width; left += WINDOW) {
      const side = Math.min(WINDOW, raster.width - left, raster.height - top);
      if (!insideField(field, left + side / 2, top + side / 2)) continue;
      places.push({ left, top, busy: busyness(raster, left, top, side) });
    }
  }
  places.sort((a, b) => b.busy - a.busy || a.top - b.top || a.left - b.left);
  return places.slice(0, WINDOWS).map(({ left, top }) => cut(raster, left, top, WINDOW));
}

/** Widest object, as a share of the shorter side of its window: at a far too fine scale a whole ruled square may look like one. */
const WIDEST = 0.5;

/**
 * How well finds at one scale hang together: area of what is surely counted, less where much is in doubt. Area, because
 * many surely found parts cover less of the picture than the few wholes they belong to.
 */
function consistency(found: readonly Found[], widestPx: number): number {
  let sure = 0;
  let doubtful = 0;
  for (const { score, kind, outline } of found) {
    const { areaPx2 } = outlineMoments(outline);
    if (equivalentDiameter(areaPx2) > widestPx) continue;
    if (score > 0.5 && COUNTED_KINDS.includes(kind)) sure += score * areaPx2;
    else if (score > 0.1 && score <= 0.5) doubtful += areaPx2;
  }
  return sure === 0 ? 0 : sure ** 2 / (sure + doubtful);
}

/**
 * Scale to look at a picture with when its own is not known: the one at which the finder is surest of
 * most objects, tried on the busiest windows; of equals the more usual one. It is good enough to find objects, not to measure them.
 *
 * @returns micrometres per pixel of the picture
 */
export async function chooseWorkingScale(finder: Finder, raster: Raster, field: Field): Promise<number> {
  const windows = windowsOf(raster, field);
  const frame: Field = { kind: 'frame', ground: field.ground };
  const widestPx = WIDEST * Math.min(WINDOW, raster.width, raster.height);
  const worthOf = async (share: number): Promise<number> => {
    const found: Found[] = [];
    for (const window of windows) found.push(...(await finder.find(window, frame, share * finder.workingUm)));
    const usual = Math.exp(-(Math.log(share / USUAL) ** 2) / (2 * USUAL_SPREAD ** 2));
    return usual * consistency(found, widestPx);
  };
  let best = { share: TRIED[0], worth: -1 };
  const look = async (share: number): Promise<void> => {
    const worth = await worthOf(share);
    if (worth > best.worth) best = { share, worth };
  };
  for (const share of TRIED) await look(share);
  const coarse = best.share;
  for (const share of [coarse / BETWEEN, coarse * BETWEEN]) await look(share);
  return best.share * finder.workingUm;
}
