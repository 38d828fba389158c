import type { Outline } from '../raster.js';

/**
 * Points at equal steps along a closed outline, starting at its first point. Corners between the steps are cut off.
 *
 * @param outline two points or more, not all the same
 * @param count points wanted, 3 or more
 */
export function resampleOutline(outline: Outline, count: number): Outline {
  const size = outline.length;
  const lengths = new Float64Array(size / 2);
  let total = 0;
  for (let pos = 0; pos < size; pos += 2) {
    const next = pos + 2 < size ? pos + 2 : 0;
    const length = Math.sqrt((outline[next] - outline[pos]) ** 2 + (outline[next + 1] - outline[pos + 1]) ** 2);
    lengths[pos / 2] = length;
    total += length;
  }

  const points = new Float64Array(2 * count);
  let pos = 0;
  let passed = 0;
  for (let index = 0; index < count; index++) {
    const wanted = (index * total) / count;
    while (pos + 2 < size && passed + lengths[pos / 2] <= wanted) {
      passed += lengths[pos / 2];
      pos += 2;
    }
    const next = pos + 2 < size ? pos + 2 : 0;
    const length = lengths[pos / 2];
    const share = length > 0 ? (wanted - passed) / length : 0;
    points[2 * index] = outline[pos] + share * (outline[next] - outline[pos]);
    points[2 * index + 1] = outline[pos + 1] + share * (outline[next + 1] - outline[pos + 1]);
  }
  return points;
}
