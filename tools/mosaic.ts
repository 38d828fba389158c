import { readFileSync } from 'node:fs';
import sharp from 'sharp';

const SLIDE = 'sample-images/drawn/early_03.jpg';
const TRUTH = 'sample-images/truth/early_03.json';

/** JPEG of a sample slide at another scale, laid side by side until the picture is full. */
export async function mosaic(
  umPerPx: number,
  size: { readonly width: number; readonly height: number },
): Promise<Buffer> {
  const own = (JSON.parse(readFileSync(TRUTH, 'utf8')) as { um_per_px: number }).um_per_px;
  const { width } = await sharp(SLIDE).metadata();
  const tile = await sharp(SLIDE)
    .resize(Math.round((width * own) / umPerPx))
    .jpeg({ quality: 95 })
    .toBuffer({ resolveWithObject: true });
  const cut = {
    left: 0,
    top: 0,
    width: Math.min(size.width, tile.info.width),
    height: Math.min(size.height, tile.info.height),
  };
  const input = await sharp(tile.data).extract(cut).png().toBuffer();
  const background = { r: 200, g: 200, b: 200 };
  return sharp({ create: { ...size, channels: 3, background }, limitInputPixels: false })
    .composite([{ input, tile: true, gravity: 'northwest' }])
    .jpeg({ quality: 92 })
    .toBuffer();
}
