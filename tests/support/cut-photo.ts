import type { Raster } from '../../packages/imaging/src/raster.js';
import { normalFrom, seededRandom } from './seeded-random.js';

/** A photo to be taken of a large drawn slide. */
export interface CutOptions {
  /** Middle of the photo on the slide, pixels. */
  readonly x: number;
  readonly y: number;
  /** Size of the photo, pixels. */
  readonly width: number;
  readonly height: number;
  /** Turn of the camera, degrees. */
  readonly turnDeg: number;
  /** Brightness over that of the slide; contrast likewise about mid grey. */
  readonly gain: number;
  readonly contrast: number;
  /** Standard deviation of the sensor's noise, levels. */
  readonly noise: number;
  readonly seed: number;
}

/** Where a pixel of the photo lies on the slide. */
export function onSlide({ x, y, width, height, turnDeg }: CutOptions, column: number, row: number): [number, number] {
  const [cos, sin] = [Math.cos((turnDeg * Math.PI) / 180), Math.sin((turnDeg * Math.PI) / 180)];
  const [dx, dy] = [column - (width - 1) / 2, row - (height - 1) / 2];
  return [x + cos * dx - sin * dy, y + sin * dx + cos * dy];
}

/** Photo of a part of a slide, turned, brighter or darker, with noise of its own; white beyond the slide. */
export function cutPhoto(slide: Raster, options: CutOptions): Raster {
  const { width, height, gain, contrast, noise, seed } = options;
  const data = new Uint8Array(3 * width * height);
  const normal = normalFrom(seededRandom(seed));
  // a table of noise is as good as fresh noise a pixel, and quicker
  const grain = Float32Array.from({ length: 65_521 }, () => noise * normal());
  for (let row = 0, at = 0; row < height; row++) {
    for (let column = 0; column < width; column++) {
      const [x, y] = onSlide(options, column, row);
      const [left, top] = [Math.floor(x), Math.floor(y)];
      const isOut = left < 0 || top < 0 || left >= slide.width - 1 || top >= slide.height - 1;
      const pos = 3 * (top * slide.width + left);
      for (let channel = 0; channel < 3; channel++, at++) {
        const i = pos + channel;
        const below = i + 3 * slide.width;
        const value = isOut
          ? 255
          : (slide.data[i] * (left + 1 - x) + slide.data[i + 3] * (x - left)) * (top + 1 - y) +
            (slide.data[below] * (left + 1 - x) + slide.data[below + 3] * (x - left)) * (y - top);
        const seen = (128 + contrast * (value - 128)) * gain + grain[(at * 31 + row) % grain.length];
        data[at] = Math.min(255, Math.max(0, Math.round(seen)));
      }
    }
  }
  return { width, height, data };
}
