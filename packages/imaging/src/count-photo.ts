import { badArgument, type CountingRule, type PhotoCount } from '@veligrid/model';
import type { PageAreaOptions } from './area/page-area.js';
import { countPage, tick, type Clock, type CountStep } from './count-page.js';
import { loadFinder, type Finder } from './find/finder.js';
import type { CellKind } from './grid/find-grid.js';
import { readPhoto, type ReadPhotoOptions } from './photo/read-photo.js';
import { loadRefiner, type Refiner } from './refine/refiner.js';
import type { SavedCalibration } from './scale/use-calibration.js';
import { prepareStaging, type StagingOptions } from './stage/staging.js';

/** How a photo is counted. */
export interface CountOptions {
  /**
   * Scale in micrometres per pixel, 0.05 to 50. Default: from the calibration, the ruled cell, a
   * stage micrometer, the photo's own tags, else none.
   */
  readonly scaleUmPerPx?: number;
  /** Saved calibration, used where no scale is given. Default none. */
  readonly calibration?: SavedCalibration;
  /** Ruled cell in the photo. Default `sedgwick-rafter`. */
  readonly cell?: CellKind;
  /** Which objects at the edge of the counted area belong to it. Default `centroid`. */
  readonly rule?: CountingRule;
  /** What is counted in: whole ruled squares where there are any, or always the whole field. Default `squares`. */
  readonly area?: 'squares' | 'field';
  /** Name of the field drawn at random that this photo shows. Default none: the count is flagged `fields-not-random`. */
  readonly drawnField?: string;
  /** Name of the photo in results and messages. Default: the last part of the path, or `photo` for bytes. */
  readonly name?: string;
  /** Adds milliseconds by step to the result. Default false: two runs then give the same result to the last byte. */
  readonly timing?: boolean;
  /** By what and for what stages are judged. Default: the starting rules, a live eastern oyster sample of unknown age. */
  readonly staging?: StagingOptions;
  /** Largest picture in pixels. Default 120 million. */
  readonly maxPixels?: number;
  /** Told of each step of each page when it is done. Default nobody. */
  readonly onStep?: (step: CountStep) => void;
}

interface Tools {
  readonly finder: Finder;
  readonly refiner: Refiner;
}

let shared: Promise<Tools> | null = null;

async function loadTools(): Promise<Tools> {
  const [finder, refiner] = await Promise.all([loadFinder(), loadRefiner()]);
  return { finder, refiner };
}

/** The one finder and refiner of this process, loaded at its first photo and kept warm. */
async function sharedTools(): Promise<Tools> {
  shared ??= loadTools();
  try {
    return await shared;
  } catch (error) {
    shared = null;
    throw error;
  }
}

function readOptions({ scaleUmPerPx, name, maxPixels }: CountOptions): ReadPhotoOptions {
  if (scaleUmPerPx !== undefined && !(scaleUmPerPx >= 0.05 && scaleUmPerPx <= 50)) {
    throw badArgument('scaleUmPerPx', 'a number of micrometres per pixel from 0.05 to 50', scaleUmPerPx);
  }
  return { ...(name === undefined ? {} : { name }), ...(maxPixels === undefined ? {} : { maxPixels }) };
}

const beginClock = ({ onStep }: CountOptions): Clock => ({ since: performance.now(), ms: {}, onStep });

function areaOptions({ rule, area, drawnField }: CountOptions): PageAreaOptions {
  return {
    ...(rule === undefined ? {} : { rule }),
    ...(area === undefined ? {} : { area }),
    ...(drawnField === undefined ? {} : { drawnField }),
  };
}

/**
 * Finds, outlines and measures every egg, embryo and larva of a photo, and what else lies there.
 *
 * @param source path of a photo, or its bytes (JPEG, PNG, WebP, TIFF, BMP ...)
 * @returns one count per page of the file; lengths are null when no scale could be had
 * @throws VeligridError `unreadable-photo` or `bad-argument`, with what to do
 */
export async function countPhoto(source: Uint8Array | string, options: CountOptions = {}): Promise<PhotoCount[]> {
  const { scaleUmPerPx = null, calibration = null, cell = 'sedgwick-rafter', timing = false } = options;
  const pages = readPhoto(source, readOptions(options));
  const photo = options.name ?? (typeof source === 'string' ? (source.split(/[/\\]/).pop() ?? source) : 'photo');
  const staging = await prepareStaging(options.staging);
  // the first page is decoded while the networks load; they are waited for even when the photo is refused
  const loading = sharedTools();
  const loaded = loading.catch(() => undefined);
  const counts: PhotoCount[] = [];
  let clock = beginClock(options);
  try {
    for await (const page of pages) {
      tick(clock, 'read');
      const tools = await loading;
      clock.since = performance.now();
      const count = await countPage(page, {
        photo,
        ...tools,
        staging,
        cell,
        scaleUmPerPx,
        calibration,
        area: areaOptions(options),
        clock,
      });
      counts.push(timing ? { ...count, timingMs: clock.ms } : count);
      clock = beginClock(options);
    }
  } finally {
    await loaded;
  }
  return counts;
}
