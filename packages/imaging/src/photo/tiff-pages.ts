import { TAG, tagValue, type Ifd } from './ifd.js';

/** Bit 0 of NewSubfileType: a smaller copy of another page; bit 2: a transparency mask (TIFF 6.0 section 8). */
const REDUCED_OR_MASK = 0b101;

const halves = (full: number, half: number): boolean => Math.abs(full / 2 - half) <= 1;

/** A pyramid whose levels are not marked: tiled, each page half the one before, down to the last. */
function isUnmarkedPyramid(ifds: readonly Ifd[]): boolean {
  if (ifds.length < 2 || !ifds[0].has(TAG.tileWidth)) return false;
  return ifds.every((ifd, i) => {
    if (i === 0) return true;
    const width = halves(tagValue(ifds[i - 1], TAG.imageWidth, 0), tagValue(ifd, TAG.imageWidth, 0));
    return width && halves(tagValue(ifds[i - 1], TAG.imageLength, 0), tagValue(ifd, TAG.imageLength, 0));
  });
}

/**
 * Pages of a TIFF file that are photos: smaller copies, masks and the levels of a pyramid are left out.
 *
 * @param ifds directories in file order
 * @returns their indices from 0, the first directory when every one is marked as a copy
 */
export function photoPages(ifds: readonly Ifd[]): number[] {
  if (isUnmarkedPyramid(ifds)) return [0];
  const pages = ifds.flatMap((ifd, i) => ((tagValue(ifd, TAG.newSubfileType, 0) & REDUCED_OR_MASK) === 0 ? [i] : []));
  return pages.length > 0 ? pages : [0];
}

/** How the samples of a page are stored, as far as it decides who decodes them. */
export interface TiffPage {
  readonly width: number;
  readonly height: number;
  readonly bitsPerSample: number;
  readonly samplesPerPixel: number;
  /** Signed integers or floating point (SampleFormat other than 1). */
  readonly signedOrReal: boolean;
  /** Neither 1, 2, 4, 8, 16 nor 32 bits: samples packed across byte borders. */
  readonly packed: boolean;
  /** Samples of 0 are white (PhotometricInterpretation 0). */
  readonly whiteIsZero: boolean;
  readonly orientation: number;
}

/** Reads how a page is stored from its directory. */
export function describePage(ifd: Ifd): TiffPage {
  const bitsPerSample = tagValue(ifd, TAG.bitsPerSample, 1);
  return {
    width: tagValue(ifd, TAG.imageWidth, 0),
    height: tagValue(ifd, TAG.imageLength, 0),
    bitsPerSample,
    samplesPerPixel: tagValue(ifd, TAG.samplesPerPixel, 1),
    signedOrReal: tagValue(ifd, TAG.sampleFormat, 1) !== 1,
    packed: ![1, 2, 4, 8, 16, 32].includes(bitsPerSample),
    whiteIsZero: tagValue(ifd, TAG.photometric, 1) === 0,
    orientation: tagValue(ifd, TAG.orientation, 1),
  };
}

/** Whether a page needs the second TIFF decoder: packed, signed, real or 32-bit samples. */
export function needsDeepDecoder(page: TiffPage): boolean {
  return page.packed || page.signedOrReal || page.bitsPerSample > 16;
}
