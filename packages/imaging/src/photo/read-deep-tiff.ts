import type * as Geotiff from 'geotiff';
import { levelWarnings, orient, type Decoded } from './decode-sharp.js';
import { findLevels, toBytes, type DeepSamples } from './scale-levels.js';
import type { TiffPage } from './tiff-pages.js';

/**
 * Loads the second decoder only when it is needed. A helper that comes with it takes over any worker thread that it is
 * loaded in, unless the thread knows a global `Worker`; one is put there for the time of loading.
 */
async function loadDecoder(): Promise<typeof Geotiff> {
  const world = globalThis as { Worker?: unknown };
  const missing = world.Worker === undefined;
  if (missing) world.Worker = () => undefined;
  try {
    return await import('geotiff');
  } finally {
    if (missing) delete world.Worker;
  }
}

/** Largest sample of the page's format, or null for real numbers and 32 bits, where files use a small part of it. */
const fullOf = (page: TiffPage): number | null =>
  page.signedOrReal || page.bitsPerSample > 16 ? null : 2 ** page.bitsPerSample - 1;

/** Channels of a pixel at most: colours with transparency, and some more that a microscope may write. */
const MOST_CHANNELS = 8;

/**
 * Decodes a page that sharp can't read rightly: 12 bits packed across bytes, signed, real or 32-bit samples.
 *
 * @param bytes whole file
 * @param index directory of the page, from 0
 * @param page how it is stored; packed samples must be of one channel
 * @throws Error when the file holds other samples than its header says
 */
export async function readDeepTiff(bytes: Uint8Array, index: number, page: TiffPage): Promise<Decoded> {
  const { width, height, samplesPerPixel } = page;
  // each would be 8 bytes a pixel, whatever the file is long
  if (samplesPerPixel > MOST_CHANNELS) throw new Error(`${String(samplesPerPixel)} values a pixel`);
  const whole = bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength) as ArrayBuffer;
  const { fromArrayBuffer } = await loadDecoder();
  const image = await (await fromArrayBuffer(whole)).getImage(index);
  const samples = (await image.readRasters({ interleave: true })) as unknown as DeepSamples;
  if (samples.length !== width * height * samplesPerPixel) throw new Error('fewer samples than its header says');
  const full = fullOf(page);
  const levels = findLevels(samples, full);
  const data = toBytes(samples, samplesPerPixel, levels);
  if (page.whiteIsZero) for (let i = 0; i < data.length; i++) data[i] = 255 - data[i];
  const raster = await orient({ width, height, data }, page.orientation);
  return { raster, warnings: full === null ? [] : levelWarnings(levels.white, full) };
}
