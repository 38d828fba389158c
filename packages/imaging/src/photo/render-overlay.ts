import sharp from 'sharp';
import type { PhotoCount } from '@veligrid/model';
import type { Raster } from '../raster.js';
import { drawOverlay } from './overlay-drawing.js';

/** How an overlay picture is made. */
export interface RenderOverlayOptions {
  /** Longer side of the picture at most, px; larger photos are shrunk. Default 4000. */
  readonly longSidePx?: number;
  /** JPEG quality, 1 to 100. Default 85. */
  readonly quality?: number;
}

/**
 * Makes the picture by which a count is checked by eye: the photo with every outline, square and field drawn on it,
 * and a legend with counts and scale bar in a strip below, so that it hides nothing.
 *
 * @param raster the photo that was counted
 * @param count its count, in pixels of that photo
 * @returns a JPEG file
 */
export async function renderOverlay(
  raster: Raster,
  count: PhotoCount,
  options: RenderOverlayOptions = {},
): Promise<Buffer> {
  const { longSidePx = 4000, quality = 85 } = options;
  const scale = Math.min(1, longSidePx / Math.max(raster.width, raster.height));
  const width = Math.max(1, Math.round(raster.width * scale));
  const height = Math.max(1, Math.round(raster.height * scale));
  const { svg, legendHeight } = drawOverlay(count, { width, height, scale });
  const { data } = raster;
  const photo = sharp(data, {
    raw: { width: raster.width, height: raster.height, channels: 3 },
    limitInputPixels: false,
  });
  return photo
    .resize(width, height, { fit: 'fill' })
    .extend({ bottom: legendHeight, background: '#fff' })
    .composite([{ input: Buffer.from(svg), limitInputPixels: false, unlimited: true }])
    .jpeg({ quality, chromaSubsampling: '4:4:4' })
    .toBuffer();
}
