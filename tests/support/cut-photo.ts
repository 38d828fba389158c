import sharp from 'sharp';
import { seededRandom } from './seeded-random.js';

/** A picture as bytes, red, green, blue. */
export interface Slide {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
}

/** How a photo of a part of a slide is taken. */
export interface Cut {
  /** Middle of the photo on the slide, pixels. */
  readonly middle: readonly [number, number];
  readonly width: number;
  readonly height: number;
  /** Degrees clockwise by which the camera is turned. */
  readonly turnDeg?: number;
  /** Brightness over that of the slide. */
  readonly gain?: number;
  readonly quality?: number;
  readonly seed?: number;
}

/** Where a pixel of a cut photo lies on the slide. */
export function onSlide({ middle, width, height, turnDeg = 0 }: Cut, x: number, y: number): [number, number] {
  const turn = (turnDeg * Math.PI) / 180;
  const [dx, dy] = [x - (width - 1) / 2, y - (height - 1) / 2];
  return [middle[0] + dx * Math.cos(turn) - dy * Math.sin(turn), middle[1] + dx * Math.sin(turn) + dy * Math.cos(turn)];
}

/** Where a place of the slide lies in a cut photo. */
export function inPhoto({ middle, width, height, turnDeg = 0 }: Cut, x: number, y: number): [number, number] {
  const turn = (turnDeg * Math.PI) / 180;
  const [dx, dy] = [x - middle[0], y - middle[1]];
  return [
    (width - 1) / 2 + dx * Math.cos(turn) + dy * Math.sin(turn),
    (height - 1) / 2 - dx * Math.sin(turn) + dy * Math.cos(turn),
  ];
}

/** Reads a picture as a slide to cut photos from. */
export async function readSlide(path: string): Promise<Slide> {
  const { data, info } = await sharp(path).raw().toBuffer({ resolveWithObject: true });
  return { width: info.width, height: info.height, data };
}

/** Photo of a part of a slide, turned, brighter or darker, with noise of its own, as JPEG. */
export function cutPhoto(slide: Slide, cut: Cut): Promise<Buffer> {
  const { width, height, gain = 1, quality = 88, seed = 1 } = cut;
  const random = seededRandom(seed);
  const data = new Uint8Array(width * height * 3);
  for (let y = 0, at = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const [u, v] = onSlide(cut, x, y);
      const [left, top] = [Math.floor(u), Math.floor(v)];
      if (left < 0 || top < 0 || left > slide.width - 2 || top > slide.height - 2) {
        throw new RangeError(`The cut goes beyond the slide at ${String([u, v])}`);
      }
      const noise = 6 * (random() + random() - 1);
      const from = 3 * (top * slide.width + left);
      for (let channel = 0; channel < 3; channel++, at++) {
        const [a, b, c, d] = [0, 3, 3 * slide.width, 3 * slide.width + 3].map(
          (step) => slide.data[from + step + channel] ?? 0,
        ) as [number, number, number, number];
        const upper = a + (u - left) * (b - a);
        const value = upper + (v - top) * (c + (u - left) * (d - c) - upper);
        data[at] = Math.max(0, Math.min(255, Math.round(gain * value + noise)));
      }
    }
  }
  return sharp(data, { raw: { width, height, channels: 3 } })
    .jpeg({ quality })
    .toBuffer();
}
