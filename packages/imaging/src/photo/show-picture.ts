import { mkdir, mkdtemp, rename, rm } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import sharp, { type Sharp } from 'sharp';
import { VeligridError } from '@veligrid/model';
import { readPhoto } from './read-photo.js';
import { sniffFormat } from './sniff-format.js';
import { unreadable } from './unreadable.js';

/** Side of a square of the pyramid and the pixels that neighbours share, px. */
export const TILE_SIZE = 512;
export const TILE_OVERLAP = 1;

/** Longer side of a preview at most, px. */
const PREVIEW_SIDE = 1280;

/** Formats that are shown straight from the file: always one page of 8 bits, and cheap to decode at a smaller size. */
const DIRECT = ['jpeg', 'webp'];

/** The picture of a page as it is counted: upright, 8-bit, transparency on white. */
async function pictureOf(bytes: Uint8Array, page: number): Promise<Sharp> {
  if (page === 1 && DIRECT.includes(sniffFormat(bytes) ?? '')) {
    const picture = sharp(bytes, { failOn: 'error', limitInputPixels: false });
    return picture.autoOrient().flatten({ background: '#fff' }).toColourspace('srgb');
  }
  for await (const { page: at, raster } of readPhoto(bytes)) {
    const raw = { width: raster.width, height: raster.height, channels: 3 as const };
    if (at === page) return sharp(raster.data, { raw, limitInputPixels: false });
  }
  throw unreadable('The photo', `has no page ${String(page)}`, 'Ask for one that it has');
}

/** What a writer says of a full disk, in the words of the system: no fault of the photo. */
const OF_DISK = /no space left on device/i;

/** Turns what a decoder throws half way through a file, whose header was well, into an error about the photo. */
async function shown<T>(drawing: Promise<T>): Promise<T> {
  try {
    return await drawing;
  } catch (error) {
    if (error instanceof VeligridError || (error as NodeJS.ErrnoException).code !== undefined) throw error;
    if (error instanceof Error && OF_DISK.test(error.message)) throw error;
    throw unreadable(
      'The photo',
      "is damaged or cut short, so it can't be shown",
      'Copy it again from the camera',
      error,
    );
  }
}

/**
 * A small picture to look at at once.
 *
 * @param bytes the file
 * @param page from 1
 * @returns a JPEG, longer side 1280 px at most
 * @throws VeligridError `unreadable-photo`
 */
export async function previewPicture(bytes: Uint8Array, page: number): Promise<Buffer> {
  const picture = await pictureOf(bytes, page);
  const inside = { width: PREVIEW_SIDE, height: PREVIEW_SIDE, fit: 'inside' as const, withoutEnlargement: true };
  return shown(picture.resize(inside).jpeg({ quality: 80 }).toBuffer());
}

/** Number of the full-size level: each level below is half as wide, down to one pixel. */
export const pyramidLevels = (widthPx: number, heightPx: number): number =>
  Math.ceil(Math.log2(Math.max(widthPx, heightPx)));

async function moveUnlessThere(from: string, to: string): Promise<void> {
  try {
    await rename(from, to);
  } catch (error) {
    if (!['ENOTEMPTY', 'EEXIST'].includes((error as NodeJS.ErrnoException).code ?? '')) throw error;
  }
}

/**
 * Cuts a page into the squares of a pyramid for deep zoom: `<folder>/<level>/<column>_<row>.jpeg`. The folder is there in
 * full or not at all.
 *
 * @param bytes the file
 * @param page from 1
 * @param folder made by this call; what was there is kept when another call was faster
 * @throws VeligridError `unreadable-photo`
 */
export async function cutPyramid(bytes: Uint8Array, page: number, folder: string): Promise<void> {
  await mkdir(dirname(folder), { recursive: true });
  const work = await mkdtemp(`${folder}.`);
  try {
    const picture = await pictureOf(bytes, page);
    const squares = picture.jpeg({ quality: 85 }).tile({ size: TILE_SIZE, overlap: TILE_OVERLAP, layout: 'dz' });
    await shown(squares.toFile(join(work, 'p.dz')));
    await rm(join(work, 'p_files', 'vips-properties.xml'), { force: true });
    await moveUnlessThere(join(work, 'p_files'), folder);
  } finally {
    await rm(work, { recursive: true, force: true });
  }
}
