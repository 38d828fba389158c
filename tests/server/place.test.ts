import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BASE } from '@veligrid/api';
import { tiffWithPlace } from '../imaging/photo/pictures.ts';
import { asAna, begin, photoForm, startTestServer, type TestServer } from './support.ts';

let at: TestServer;
beforeAll(async () => {
  at = await startTestServer();
});
afterAll(() => at.close());

const place = { IFD3: { GPSLatitude: '38/1 20/1 5961/100', GPSLatitudeRef: 'N' } };

const photo = (format: 'png' | 'webp'): Promise<Buffer> =>
  sharp({ create: { width: 64, height: 64, channels: 3, background: '#999' } })
    .withExif(place)
    .toFormat(format)
    .toBuffer();

/** Whether the numerator of the seconds stands in a file, in either order of bytes. */
function holdsPlace(file: Buffer): boolean {
  const [little, big] = [Buffer.alloc(4), Buffer.alloc(4)];
  little.writeUInt32LE(5961);
  big.writeUInt32BE(5961);
  return file.includes(little) || file.includes(big);
}

describe('the stored copy', () => {
  it.each(['png', 'webp', 'tiff'] as const)('of a %s file does not say where it was taken', async (format) => {
    const file = format === 'tiff' ? tiffWithPlace() : await photo(format);
    expect(holdsPlace(file)).toBe(true);
    const form = photoForm({ [`phone.${format}`]: file });
    const sent = await at.send('POST', `${BASE}/samples/${await begin(at)}/photos`, { cookie: asAna, form });
    const [{ hash }] = (sent.json as { photos: { hash: string }[] }).photos;
    expect(holdsPlace(Buffer.from(await at.house.store.files.read(hash)))).toBe(false);
  });

  it('of a picture for calibration does not either', async () => {
    const form = new FormData();
    form.append('shows', 'points');
    form.append('picture', new Blob([new Uint8Array(await photo('png'))]), 'ruler.png');
    const sent = await at.send('POST', `${BASE}/calibration-pictures`, { cookie: asAna, form });
    const { hash } = sent.json as { hash: string };
    expect(holdsPlace(Buffer.from(await at.house.store.files.read(hash)))).toBe(false);
  });
});
