import sharp from 'sharp';
import type { GreyRaster } from '../../packages/imaging/src/raster.js';

/** Reads one page of a test picture as grey levels, 0..255. */
export async function readGrey(file: string | Buffer, page = 0): Promise<GreyRaster> {
  const { data, info } = await sharp(file, { page })
    .greyscale()
    .toColourspace('b-w')
    .raw()
    .toBuffer({ resolveWithObject: true });
  return { width: info.width, height: info.height, data: new Uint8Array(data) };
}

/** The picture with dark and light exchanged. */
export const inverted = ({ width, height, data }: GreyRaster): GreyRaster => ({
  width,
  height,
  data: data.map((level) => 255 - level),
});
