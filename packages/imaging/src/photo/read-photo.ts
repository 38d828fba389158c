import { readFile } from 'node:fs/promises';
import { basename } from 'node:path';
import { badArgument, VeligridError, type Warning } from '@veligrid/model';
import type { Raster } from '../raster.js';
import { blankWarning } from './blank.js';
import { decodeSharp, readHeader, type Decoded } from './decode-sharp.js';
import { readIfds } from './ifd.js';
import { bmpRefusal, readBmp, readBmpHeader } from './read-bmp.js';
import { readDeepTiff } from './read-deep-tiff.js';
import { loadHeicDecoder, readHeic } from './read-heic.js';
import { exifScaleHint, omeScaleHint, scaleHint, type ScaleHint } from './scale-hint.js';
import { sniffFormat, type PhotoFormat } from './sniff-format.js';
import { describePage, needsDeepDecoder, photoPages } from './tiff-pages.js';
import { unreadable } from './unreadable.js';

/** One picture of a file. */
export interface Page {
  /** Upright 8-bit RGB. */
  readonly raster: Raster;
  /** From 1. */
  readonly page: number;
  /** Pages that are photos in this file, 1 or more. */
  readonly pages: number;
  /** Scale the camera wrote, to be shown as a hint; null when there is none that can be true. */
  readonly scaleHint: ScaleHint | null;
  readonly warnings: readonly Warning[];
}

/** How a photo is read. */
export interface ReadPhotoOptions {
  /** Name for messages. Default: the last part of the path, or `photo` for bytes. */
  readonly name?: string;
  /** Largest picture in pixels (width times height), refused from its header before decoding. Default 120 million. */
  readonly maxPixels?: number;
}

/** Smallest side in pixels that can hold an object worth measuring. */
const LEAST_SIDE = 16;
const MAX_PIXELS = 120_000_000;
const REMEDY_DAMAGED = 'Copy it again from the camera, or save it anew as JPEG, PNG or TIFF';
const REMEDY_FORMAT = 'Use a JPEG, PNG, TIFF, WebP or BMP photo';

/** What every reader below needs. */
interface Job {
  readonly bytes: Uint8Array;
  readonly name: string;
  readonly maxPixels: number;
}

async function load(source: Uint8Array | string, name: string): Promise<Uint8Array> {
  if (typeof source !== 'string') return source;
  try {
    return await readFile(source);
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code ?? '';
    const reasons: Readonly<Record<string, readonly [string, string]>> = {
      ENOENT: ['does not exist', 'Check the path'],
      ENOTDIR: ['does not exist', 'Check the path: a part of it is a file, not a folder'],
      EISDIR: ['is a folder, not a photo', 'Name a photo in it'],
      EACCES: ['may not be read by this user', 'Change its permissions'],
      ERR_FS_FILE_TOO_LARGE: ['is larger than 2 GiB', 'Save it at a smaller size'],
    };
    const [reason, remedy] = reasons[code] ?? [`could not be read from the disk (${code})`, 'Copy it to this machine'];
    throw unreadable(name, reason, remedy, error);
  }
}

function checkSize({ name, maxPixels }: Job, width: number, height: number): void {
  const size = `is ${String(width)} x ${String(height)} px`;
  if (width * height > maxPixels) {
    const limit = (maxPixels / 1e6).toLocaleString('en', { maximumFractionDigits: 3 });
    throw unreadable(name, `${size}, over the limit of ${limit} million pixels`, 'Save it at a smaller size');
  }
  if (Math.min(width, height) < LEAST_SIDE) {
    throw unreadable(
      name,
      `${size}, too small to show an egg or a larva`,
      `Use a photo of at least ${String(LEAST_SIDE)} px a side`,
    );
  }
}

/** First line of a decoder's message, without the lines that only name its parts. */
const firstLine = (error: unknown): string => (error instanceof Error ? error.message : String(error)).split('\n')[0];

/** Runs a decoder and turns whatever it throws into an error about this photo. */
async function guarded<T>(name: string, decoding: () => Promise<T> | T): Promise<T> {
  try {
    return await decoding();
  } catch (error) {
    if (error instanceof VeligridError) throw error;
    throw unreadable(name, `is damaged or cut short (${firstLine(error)})`, REMEDY_DAMAGED, error);
  }
}

function pageOf(decoded: Decoded, page: number, pages: number, hint: ScaleHint | null): Page {
  const warnings = [...decoded.warnings, ...blankWarning(decoded.raster)];
  return { raster: decoded.raster, page, pages, scaleHint: hint, warnings };
}

async function* tiffPages(job: Job): AsyncGenerator<Page> {
  const ifds = readIfds(job.bytes);
  if (ifds.length === 0) throw unreadable(job.name, 'is damaged or cut short (no page found)', REMEDY_DAMAGED);
  const indices = photoPages(ifds);
  const ome = omeScaleHint(ifds[0]);
  for (const [at, index] of indices.entries()) {
    const stored = describePage(ifds[index]);
    const name = indices.length > 1 ? `${job.name}, page ${String(at + 1)},` : job.name;
    checkSize({ ...job, name }, stored.width, stored.height);
    if (stored.packed && stored.samplesPerPixel > 1) {
      const reason = `has colours of ${String(stored.bitsPerSample)} bits packed across bytes, which can't be read`;
      throw unreadable(name, reason, 'Save it as TIFF of 8 or 16 bits');
    }
    const decoded = await guarded(name, async () => {
      if (needsDeepDecoder(stored)) return readDeepTiff(job.bytes, index, stored);
      const header = await readHeader(job.bytes, index);
      return decodeSharp(job.bytes, index, header.depth);
    });
    yield pageOf(decoded, at + 1, indices.length, ome ?? scaleHint(ifds[index]));
  }
}

async function plainPage(job: Job, format: PhotoFormat): Promise<Page> {
  const header = await guarded(job.name, () => readHeader(job.bytes, 0));
  checkSize(job, header.width, header.height);
  const decoded = await guarded(job.name, () => decodeSharp(job.bytes, 0, header.depth));
  const frames = format === 'webp' || format === 'gif' ? (header.pages ?? 1) : 1;
  const page = pageOf(decoded, 1, 1, exifScaleHint(header.exif));
  if (frames === 1) return page;
  const message = `The file is an animation of ${String(frames)} frames; only the first was read. Save the others as photos to count them.`;
  return { ...page, warnings: [...page.warnings, { code: 'first-frame-only', message }] };
}

async function bmpPage(job: Job): Promise<Page> {
  const header = readBmpHeader(job.bytes);
  if (header === null) throw unreadable(job.name, 'is damaged or cut short (no bitmap header)', REMEDY_DAMAGED);
  checkSize(job, header.width, header.height);
  const refusal = bmpRefusal(header, job.bytes);
  if (refusal !== null) throw unreadable(job.name, refusal, 'Save it as PNG');
  const raster = await guarded(job.name, () => readBmp(job.bytes, header));
  return pageOf({ raster, warnings: [] }, 1, 1, null);
}

async function heicPage(job: Job): Promise<Page> {
  const decoder = loadHeicDecoder();
  if (decoder === null) {
    throw unreadable(
      job.name,
      'is a HEIC photo, which needs a decoder that is not installed',
      'On the phone choose JPEG (iPhone: Settings, Camera, Formats, Most Compatible), or share the photo as JPEG, or install the package heic-decode beside Veligrid',
    );
  }
  const raster = await guarded(job.name, () =>
    readHeic(decoder, job.bytes, (width, height) => {
      checkSize(job, width, height);
    }),
  );
  return pageOf({ raster, warnings: [] }, 1, 1, null);
}

/**
 * Reads a photo page by page as upright 8-bit RGB. Takes JPEG, PNG, WebP, GIF, AVIF, TIFF (every page that is a photo;
 * the levels of a pyramid are not), BMP, and HEIC where the package heic-decode is installed. The format is told from
 * the content. Transparency is laid on white; deep pictures are scaled by their real maximum and so never come out black.
 *
 * @param source path of a file, or its bytes
 * @param options name for messages and size limit
 * @returns pages in file order, decoded one at a time as they are asked for
 * @throws VeligridError `unreadable-photo` naming the photo, the reason and what to do, for an empty, damaged, cut
 *   short, unknown, too large or too small picture; `bad-argument` for a wrong option
 */
export async function* readPhoto(
  source: Uint8Array | string,
  options: ReadPhotoOptions = {},
): AsyncGenerator<Page, void, undefined> {
  const { name = typeof source === 'string' ? basename(source) : 'photo', maxPixels = MAX_PIXELS } = options;
  if (!(maxPixels > 0)) throw badArgument('maxPixels', 'a number above 0', maxPixels);
  const bytes = await load(source, name);
  if (bytes.length === 0) throw unreadable(name, 'is empty', REMEDY_DAMAGED);
  const format = sniffFormat(bytes);
  if (format === null) throw unreadable(name, 'is not a photo, whatever its name says', REMEDY_FORMAT);
  const job = { bytes, name, maxPixels };
  if (format === 'tiff') yield* tiffPages(job);
  else if (format === 'bmp') yield await bmpPage(job);
  else if (format === 'heic') yield await heicPage(job);
  else yield await plainPage(job, format);
}
