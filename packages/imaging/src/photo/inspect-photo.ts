import { VeligridError } from '@veligrid/model';
import { readHeader } from './decode-sharp.js';
import { readIfds } from './ifd.js';
import { readBmpHeader } from './read-bmp.js';
import { readPhoto, type ReadPhotoOptions } from './read-photo.js';
import { sniffFormat } from './sniff-format.js';
import { describePage, photoPages } from './tiff-pages.js';
import { unreadable } from './unreadable.js';

/** Size of one page of a photo file. */
export interface PhotoPage {
  /** From 1. */
  readonly page: number;
  /** Upright size in pixels. */
  readonly widthPx: number;
  readonly heightPx: number;
}

const MAX_PIXELS = 120_000_000;

/** EXIF orientations from here on lie on their side. */
const FIRST_SIDEWAYS = 5;

const sized = (page: number, width: number, height: number): PhotoPage => ({ page, widthPx: width, heightPx: height });

function tiffPages(bytes: Uint8Array): PhotoPage[] {
  const ifds = readIfds(bytes);
  return photoPages(ifds).flatMap((index, at) => {
    const ifd = ifds[index];
    if (ifd === undefined) return [];
    const { width, height, orientation } = describePage(ifd);
    return orientation >= FIRST_SIDEWAYS ? sized(at + 1, height, width) : sized(at + 1, width, height);
  });
}

async function plainPage(bytes: Uint8Array): Promise<PhotoPage[]> {
  const { width, height, orientation = 1 } = await readHeader(bytes, 0);
  return [orientation >= FIRST_SIDEWAYS ? sized(1, height, width) : sized(1, width, height)];
}

/** No header tells the upright size of these: the pixels have to be read. */
async function decodedPages(bytes: Uint8Array, options: ReadPhotoOptions): Promise<PhotoPage[]> {
  const pages: PhotoPage[] = [];
  for await (const { page, raster } of readPhoto(bytes, options)) pages.push(sized(page, raster.width, raster.height));
  return pages;
}

async function pagesOf(bytes: Uint8Array, options: ReadPhotoOptions): Promise<PhotoPage[]> {
  const format = sniffFormat(bytes);
  if (format === 'tiff') return tiffPages(bytes);
  if (format === 'bmp') {
    const header = readBmpHeader(bytes);
    return header === null ? [] : [sized(1, header.width, header.height)];
  }
  return format === null || format === 'heic' ? decodedPages(bytes, options) : plainPage(bytes);
}

/**
 * Tells the pages of a photo file and their upright sizes from its headers, without decoding where the format allows it.
 * A file that passes may still be damaged further on.
 *
 * @throws VeligridError `unreadable-photo` for what is no photo, has no readable header or is over the limit of pixels
 */
export async function inspectPhoto(bytes: Uint8Array, options: ReadPhotoOptions = {}): Promise<PhotoPage[]> {
  const { name = 'photo', maxPixels = MAX_PIXELS } = options;
  const pages = await pagesOf(bytes, options).catch((error: unknown) => {
    if (error instanceof VeligridError) throw error;
    throw unreadable(name, 'is damaged or cut short', 'Copy it again from the camera', error);
  });
  if (pages.length === 0 || pages.some(({ widthPx, heightPx }) => !(widthPx > 0 && heightPx > 0))) {
    throw unreadable(name, 'is damaged or cut short (no picture found)', 'Copy it again from the camera');
  }
  const large = pages.find(({ widthPx, heightPx }) => widthPx * heightPx > maxPixels);
  if (large !== undefined) {
    const size = `is ${String(large.widthPx)} x ${String(large.heightPx)} px`;
    const limit = (maxPixels / 1e6).toLocaleString('en', { maximumFractionDigits: 3 });
    throw unreadable(name, `${size}, over the limit of ${limit} million pixels`, 'Save it at a smaller size');
  }
  return pages;
}
