import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { removePlace } from '@veligrid/imaging';
import { tiffWithPlace } from './pictures.js';

const camera = { IFD0: { Make: 'Bench camera' } };
const place = { IFD3: { GPSLatitudeRef: 'N', GPSLatitude: '38/1 20/1 5961/100', GPSLongitude: '75/1 4/1 7071/100' } };

/** A photo whose EXIF data libvips wrote: with a camera, and with or without a place. */
const photo = (format: 'jpeg' | 'png' | 'webp', withPlace: boolean): Promise<Buffer> =>
  sharp({ create: { width: 64, height: 48, channels: 3, background: '#8a6' } })
    .withExif({ ...camera, ...(withPlace ? place : {}) })
    .toFormat(format)
    .toBuffer();

/** The numerators 5961 and 7071 as libexif writes them, little-endian. */
const holdsPlace = (bytes: Uint8Array): boolean => {
  const exif = Buffer.from(bytes);
  return [5961, 7071].some((number) => {
    const [little, big] = [Buffer.alloc(4), Buffer.alloc(4)];
    little.writeUInt32LE(number);
    big.writeUInt32BE(number);
    return exif.includes(little) || exif.includes(big);
  });
};

describe('removePlace', () => {
  it.each(['jpeg', 'png', 'webp'] as const)(
    'removes the place from %s and leaves camera and pixels',
    async (format) => {
      const file = await photo(format, true);
      const { exif } = await sharp(file).metadata();
      expect(holdsPlace(exif ?? Buffer.alloc(0))).toBe(true);
      const before = await sharp(file).raw().toBuffer();

      expect(removePlace(file)).toBe(true);

      const after = await sharp(file, { failOn: 'warning' }).metadata();
      expect(after.exif?.includes('Bench camera')).toBe(true);
      expect(holdsPlace(after.exif ?? Buffer.alloc(0))).toBe(false);
      expect(holdsPlace(file)).toBe(false);
      expect((await sharp(file).raw().toBuffer()).equals(before)).toBe(true);
      expect(removePlace(file)).toBe(true);
    },
  );

  it('removes the place from TIFF and leaves the pixels', async () => {
    const file = tiffWithPlace();
    expect(holdsPlace(file)).toBe(true);
    const before = await sharp(file).raw().toBuffer();
    expect(removePlace(file)).toBe(true);
    expect(holdsPlace(file)).toBe(false);
    expect((await sharp(file, { failOn: 'warning' }).raw().toBuffer()).equals(before)).toBe(true);
  });

  it('removes the place from XMP', async () => {
    const xmp =
      '<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description xmlns:exif="http://ns.adobe.com/exif/1.0/" exif:GPSLatitude="38,20.99N" exif:PixelXDimension="64"/></rdf:RDF></x:xmpmeta>';
    const file = await sharp({ create: { width: 64, height: 48, channels: 3, background: '#8a6' } })
      .withXmp(xmp)
      .jpeg()
      .toBuffer();
    expect(file.includes('38,20.99N')).toBe(true);
    expect(removePlace(file)).toBe(true);
    expect(file.includes('38,20.99N')).toBe(false);
    expect(file.includes('exif:PixelXDimension="64"')).toBe(true);
  });

  it('changes no byte of a photo without a place', async () => {
    const file = await photo('jpeg', false);
    const before = Buffer.from(file);
    expect(removePlace(file)).toBe(false);
    expect(file.equals(before)).toBe(true);
  });

  it('bears cut and damaged files', async () => {
    const whole = await photo('jpeg', true);
    for (let length = 0; length < 600; length += 7)
      expect(() => removePlace(Buffer.from(whole.subarray(0, length)))).not.toThrow();
  });
});
