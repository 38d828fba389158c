import sharp from 'sharp';
import { expect, it } from 'vitest';
import { inverted, readGrey } from './read-grey.js';

it('reads levels row by row and turns them round', async () => {
  const png = await sharp(Buffer.from([0, 60, 255, 9]), { raw: { width: 2, height: 2, channels: 1 } })
    .png()
    .toBuffer();
  const grey = await readGrey(png);
  expect(grey).toEqual({ width: 2, height: 2, data: Uint8Array.from([0, 60, 255, 9]) });
  expect([...inverted(grey).data]).toEqual([255, 195, 0, 246]);
});
