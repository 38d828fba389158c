/** Closed outline without a repeated end point, in pixels. */
export type Polygon = readonly (readonly [number, number])[];

/** Whether a point lies inside an outline (even-odd rule); points on the border may fall either way. */
export function contains(polygon: Polygon, x: number, y: number): boolean {
  let inside = false;
  let [px, py] = polygon[polygon.length - 1] ?? [0, 0];
  for (const [qx, qy] of polygon) {
    if (qy > y !== py > y && x < ((px - qx) * (y - qy)) / (py - qy) + qx) inside = !inside;
    [px, py] = [qx, qy];
  }
  return inside;
}

/** Rounds halves to the even neighbour, as numerical libraries do. */
function roundEven(value: number): number {
  const low = Math.floor(value);
  if (value - low !== 0.5) return Math.round(value);
  return low % 2 === 0 ? low : low + 1;
}

interface Mask {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
}

/** Draws a line of single pixels, eight-connected (Bresenham 1965, doi:10.1147/sj.41.0025). */
function drawLine(mask: Mask, [x0, y0]: readonly [number, number], [x1, y1]: readonly [number, number]): void {
  const dx = Math.abs(x1 - x0);
  const dy = -Math.abs(y1 - y0);
  let x = x0;
  let y = y0;
  let error = dx + dy;
  for (;;) {
    if (x >= 0 && y >= 0 && x < mask.width && y < mask.height) mask.data[y * mask.width + x] = 1;
    if (x === x1 && y === y1) return;
    const twice = 2 * error;
    if (twice >= dy) {
      error += dy;
      x += Math.sign(x1 - x0);
    }
    if (twice <= dx) {
      error += dx;
      y += Math.sign(y1 - y0);
    }
  }
}

/** Fills the pixels inside an outline with whole corners, and its border. */
function fill(mask: Mask, corners: Polygon): void {
  for (let y = 0; y < mask.height; y++) {
    const crossings: number[] = [];
    corners.forEach(([x1, y1], i) => {
      const [x0, y0] = corners[(i + corners.length - 1) % corners.length] ?? [0, 0];
      if (y0 > y !== y1 > y) crossings.push(x0 + ((y - y0) * (x1 - x0)) / (y1 - y0));
    });
    crossings.sort((a, b) => a - b);
    for (let i = 0; i + 1 < crossings.length; i += 2) {
      const from = Math.max(0, Math.ceil(crossings[i] ?? 0));
      const to = Math.min(mask.width - 1, Math.floor(crossings[i + 1] ?? 0));
      if (to >= from) mask.data.fill(1, y * mask.width + from, y * mask.width + to + 1);
    }
  }
  corners.forEach((corner, i) => {
    drawLine(mask, corners[(i + corners.length - 1) % corners.length] ?? corner, corner);
  });
}

/** Finest raster on which two outlines are compared: pixels a pixel of the photo, and pixels a side. */
const FINEST = 4;
const LONGEST_SIDE = 600;

/**
 * Overlap of two outlines: shared area over joint area, counted on a raster of up to four times the photo's resolution
 * with their borders drawn in.
 *
 * @returns 0 (apart) to 1 (the same)
 */
export function overlap(a: Polygon, b: Polygon): number {
  const both = [...a, ...b];
  const left = both.reduce((least, [x]) => Math.min(least, x), Infinity) - 2;
  const top = both.reduce((least, [, y]) => Math.min(least, y), Infinity) - 2;
  const right = both.reduce((most, [x]) => Math.max(most, x), -Infinity) + 2;
  const bottom = both.reduce((most, [, y]) => Math.max(most, y), -Infinity) + 2;
  const scale = Math.min(FINEST, LONGEST_SIDE / Math.max(right - left, bottom - top));
  const [width, height] = [Math.ceil((right - left) * scale), Math.ceil((bottom - top) * scale)];
  const [maskA, maskB] = [a, b].map((polygon) => {
    const mask = { width, height, data: new Uint8Array(width * height) };
    fill(
      mask,
      polygon.map(([x, y]) => [roundEven((x - left) * scale), roundEven((y - top) * scale)]),
    );
    return mask.data;
  });
  let shared = 0;
  let joint = 0;
  maskA?.forEach((value, i) => {
    const other = maskB?.[i] ?? 0;
    shared += value & other;
    joint += value | other;
  });
  return joint === 0 ? 0 : shared / joint;
}
