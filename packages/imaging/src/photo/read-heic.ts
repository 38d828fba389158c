import { createRequire } from 'node:module';
import type { Raster } from '../raster.js';

/** The one call used of the optional package. */
export interface HeicDecoder {
  readonly all: (input: { buffer: Uint8Array }) => Promise<HeicImages>;
}

/** Images of one file: sizes are known before decoding. */
export interface HeicImages extends Array<HeicImage> {
  readonly dispose: () => void;
}

/** One image, not yet decoded. */
export interface HeicImage {
  readonly width: number;
  readonly height: number;
  /** Four bytes a pixel: red, green, blue, alpha. */
  readonly decode: () => Promise<{ width: number; height: number; data: Uint8ClampedArray }>;
}

/** Loads the optional decoder (a CommonJS package); null when it is not installed. */
export function loadHeicDecoder(): HeicDecoder | null {
  try {
    return createRequire(import.meta.url)('heic-decode') as HeicDecoder;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'MODULE_NOT_FOUND') return null;
    throw error;
  }
}

/**
 * Decodes the main image of a HEIC file to RGB, upright.
 *
 * @param decoder as `loadHeicDecoder` gave it
 * @param bytes whole file
 * @param checkSize called with width and height before any pixel is decoded; throws to refuse
 */
export async function readHeic(
  decoder: HeicDecoder,
  bytes: Uint8Array,
  checkSize: (width: number, height: number) => void,
): Promise<Raster> {
  const images = await decoder.all({ buffer: bytes });
  try {
    const main = images[0];
    checkSize(main.width, main.height);
    const { width, height, data: rgba } = await main.decode();
    const data = new Uint8Array(width * height * 3);
    for (let from = 0, to = 0; to < data.length; from += 4, to += 3) {
      data[to] = rgba[from];
      data[to + 1] = rgba[from + 1];
      data[to + 2] = rgba[from + 2];
    }
    return { width, height, data };
  } finally {
    images.dispose();
  }
}
