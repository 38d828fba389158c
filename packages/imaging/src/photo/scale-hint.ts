import { TAG, readIfds, tagValue, type Ifd } from './ifd.js';
import { omePixelSize } from './ome-scale.js';

/** Scale written into the file by a camera or its program. A hint to be shown and checked, never a calibration. */
export interface ScaleHint {
  /** Micrometres per pixel, 0.05 to 10. */
  readonly umPerPx: number;
  /** `ome`: physical size in OME-XML; `exif`: focal plane resolution; `tiff`: resolution tags of the page. */
  readonly from: 'ome' | 'exif' | 'tiff';
}

/** A microscope photo lies well inside; screen and print defaults (72 to 1,200 dpi are 353 to 21 um/px) well outside. */
const LEAST_UM_PER_PX = 0.05;
const MOST_UM_PER_PX = 10;
/** Largest relative difference of the two directions of a square pixel. */
const SQUARE_WITHIN = 0.01;

/** Micrometres in the unit of a resolution tag: 2 inch, 3 centimetre (TIFF 6.0), 4 millimetre, 5 micrometre (in use). */
const UM_OF_UNIT: Readonly<Record<number, number>> = { 2: 25_400, 3: 10_000, 4: 1_000, 5: 1 };

function umPerPx(ifd: Ifd, xTag: number, yTag: number, unitTag: number): number | null {
  const x = tagValue(ifd, xTag, 0);
  const y = tagValue(ifd, yTag, x);
  const unit = UM_OF_UNIT[tagValue(ifd, unitTag, 2)];
  if (unit === undefined || !(x > 0) || Math.abs(y / x - 1) > SQUARE_WITHIN) return null;
  return plausible(unit / x);
}

const plausible = (scale: number): number | null =>
  scale >= LEAST_UM_PER_PX && scale <= MOST_UM_PER_PX ? scale : null;

/**
 * Scale hint of the OME-XML in a TIFF file, which holds for all its pages.
 *
 * @param ifd first directory of the file
 * @returns the hint, or null when there is none, pixels are not square or it can't be the scale of a microscope photo
 */
export function omeScaleHint(ifd: Ifd): ScaleHint | null {
  const size = omePixelSize(ifd);
  if (size === null || Math.abs(size.y / size.x - 1) > SQUARE_WITHIN) return null;
  const umPerPx = plausible(Math.sqrt(size.x * size.y));
  return umPerPx === null ? null : { umPerPx, from: 'ome' };
}

/**
 * Scale hint of one directory. Focal plane resolution is the pixel pitch of the sensor in an ordinary camera (which
 * also writes its focal length or f-number) and the pitch on the slide in a microscope camera (which has neither), so
 * it is taken only from the second.
 *
 * @returns the hint, or null when there is none or it can't be the scale of a microscope photo
 */
export function scaleHint(ifd: Ifd): ScaleHint | null {
  if (!ifd.has(TAG.focalLength) && !ifd.has(TAG.fNumber)) {
    const exif = umPerPx(ifd, TAG.focalPlaneXResolution, TAG.focalPlaneYResolution, TAG.focalPlaneResolutionUnit);
    if (exif !== null) return { umPerPx: exif, from: 'exif' };
  }
  const tiff = umPerPx(ifd, TAG.xResolution, TAG.yResolution, TAG.resolutionUnit);
  return tiff === null ? null : { umPerPx: tiff, from: 'tiff' };
}

/**
 * Scale hint of an EXIF block as stored in JPEG, PNG and WebP files, with or without its `Exif` heading.
 *
 * @param exif the block, or undefined when the file has none
 */
export function exifScaleHint(exif: Uint8Array | undefined): ScaleHint | null {
  if (exif === undefined || exif.length < 14) return null;
  const heading = exif[0] === 0x45 && exif[1] === 0x78 ? 6 : 0;
  const ifd = readIfds(exif.subarray(heading))[0];
  return ifd === undefined ? null : scaleHint(ifd);
}
