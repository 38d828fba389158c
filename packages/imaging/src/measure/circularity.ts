/**
 * 4 pi A / P^2: 1 for a disc, pi/4 for a square, less for anything longer or rougher. ISO 9276-6 calls the square root
 * of it circularity. 0 when the perimeter is 0; never above 1, as rounding errors are cut off.
 *
 * @param area in square pixels, 0 or more
 * @param perimeterPx in pixels, 0 or more
 */
export function circularity(area: number, perimeterPx: number): number {
  return perimeterPx > 0 ? Math.min(1, (4 * Math.PI * area) / (perimeterPx * perimeterPx)) : 0;
}
