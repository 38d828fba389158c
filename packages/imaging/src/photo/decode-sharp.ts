import sharp, { type Metadata, type Sharp, type SharpOptions } from 'sharp';
import type { Warning } from '@veligrid/model';
import type { Raster } from '../raster.js';
import { findLevels, toBytes } from './scale-levels.js';

// each photo is read once, so a cache would only hold memory
sharp.cache(false);

/** Decoded picture and what should be said about it. */
export interface Decoded {
  readonly raster: Raster;
  readonly warnings: readonly Warning[];
}

/**
 * Sets how many threads decoding may use in this process. Worker threads that read one photo each should set 1, so
 * that the photos and not the decoders share the cores.
 *
 * @param threads 1 or more
 */
export function setDecodeThreads(threads: number): void {
  sharp.concurrency(threads);
}

const options = (page: number): SharpOptions => ({ page, failOn: 'error', limitInputPixels: false });

/** Size, depth and EXIF of one page, from its header alone. */
export function readHeader(bytes: Uint8Array, page: number): Promise<Metadata> {
  return sharp(bytes, options(page)).metadata();
}

async function decodeDeep(picture: Sharp): Promise<Decoded> {
  const { data, info } = await picture
    .toColourspace('rgb16')
    .raw({ depth: 'ushort' })
    .toBuffer({ resolveWithObject: true });
  const samples = new Uint16Array(data.buffer, data.byteOffset, data.length / 2);
  const levels = findLevels(samples, 65_535);
  const raster = { width: info.width, height: info.height, data: toBytes(samples, info.channels, levels) };
  return { raster, warnings: levelWarnings(levels.white, 65_535) };
}

/** Warning for a file whose brightest level is far below what it can hold. */
export function levelWarnings(white: number, full: number): Warning[] {
  if (white >= full / 2) return [];
  const message = `The brightest level is ${String(Math.round(white))} of ${String(full)}; the picture was brightened to its real maximum.`;
  return [{ code: 'levels-rescaled', message }];
}

/**
 * Decodes one page to upright 8-bit RGB: EXIF orientation applied, transparency laid on white, CMYK and palettes
 * converted, 16-bit levels scaled by their real maximum.
 *
 * @param bytes whole file in a format that sharp reads
 * @param page page from 0
 * @param depth sample depth as `readHeader` gave it
 */
export async function decodeSharp(bytes: Uint8Array, page: number, depth: string | undefined): Promise<Decoded> {
  const picture = sharp(bytes, options(page)).autoOrient().flatten({ background: '#fff' });
  if (depth === 'ushort') return decodeDeep(picture);
  const { data, info } = await picture.toColourspace('srgb').raw().toBuffer({ resolveWithObject: true });
  return { raster: { width: info.width, height: info.height, data }, warnings: [] };
}

/**
 * Turns a picture upright by its EXIF orientation, for decoders that don't.
 *
 * @param raster picture as stored
 * @param orientation EXIF orientation 1 to 8; 1 and unknown values leave it as it is
 */
export async function orient(raster: Raster, orientation: number): Promise<Raster> {
  if (orientation < 2 || orientation > 8) return raster;
  const { width, height } = raster;
  const stored = sharp(raster.data, { raw: { width, height, channels: 3 }, limitInputPixels: false });
  // a tag of its own makes sharp do the turning that it does for files
  const tagged = await stored.withMetadata({ orientation }).tiff({ compression: 'none' }).toBuffer();
  return (await decodeSharp(tagged, 0, 'uchar')).raster;
}
