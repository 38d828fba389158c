import sharp from 'sharp';
import type { Raster } from '../raster.js';
import type { PhotoCalibration } from '../scale/calibration.js';
import { drawCalibration } from './calibration-drawing.js';

/** Longer side of the picture at most, px. */
const LONG_SIDE_PX = 4000;
const QUALITY = 88;

/**
 * Makes the picture by which a calibration is checked by eye: the photo with the lines that were found.
 *
 * @param raster the photo that was calibrated
 * @param calibration in pixels of that photo
 * @returns a JPEG file
 */
export async function renderCalibration(raster: Raster, calibration: PhotoCalibration): Promise<Buffer> {
  const scale = Math.min(1, LONG_SIDE_PX / Math.max(raster.width, raster.height));
  const width = Math.max(1, Math.round(raster.width * scale));
  const height = Math.max(1, Math.round(raster.height * scale));
  const { svg, legendHeight } = drawCalibration(calibration, { width, height, scale });
  const raw = { width: raster.width, height: raster.height, channels: 3 as const };
  return sharp(raster.data, { raw, limitInputPixels: false })
    .resize(width, height, { fit: 'fill' })
    .extend({ bottom: legendHeight, background: '#fff' })
    .composite([{ input: Buffer.from(svg), limitInputPixels: false, unlimited: true }])
    .jpeg({ quality: QUALITY, chromaSubsampling: '4:4:4' })
    .toBuffer();
}
