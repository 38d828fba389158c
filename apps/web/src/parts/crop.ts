import type { Tiles } from '../slide/picture.js';
import type { Box } from '../slide/shapes.js';

/** Squares of pyramids kept decoded; 300 of 512 px are 300 MB at most, what a tablet bears. */
const MOST_TILES = 300;
const cache = new Map<string, Promise<HTMLImageElement | null>>();

/** A square, from memory when it was drawn lately; null when it can't be had. */
function tile(address: string): Promise<HTMLImageElement | null> {
  const known = cache.get(address);
  if (known !== undefined) return known;
  const loading = new Promise<HTMLImageElement | null>((resolve) => {
    const image = new Image();
    image.decoding = 'async';
    image.addEventListener('load', () => {
      resolve(image);
    });
    image.addEventListener('error', () => {
      cache.delete(address);
      resolve(null);
    });
    image.src = address;
  });
  cache.set(address, loading);
  const oldest = cache.keys().next();
  if (cache.size > MOST_TILES && oldest.done !== true) cache.delete(oldest.value);
  return loading;
}

/** Level of the pyramid that is just sharp enough: at least one of its pixels a pixel drawn. */
export function levelFor({ maxLevel }: Pick<Tiles, 'maxLevel'>, scale: number): number {
  const halvings = Math.floor(Math.log2(1 / Math.min(1, scale)));
  return Math.max(0, maxLevel - halvings);
}

/** Squares of a level that a box touches, in pixels of the photo. */
export function tilesIn(
  { tileSize, maxLevel, widthPx, heightPx }: Pick<Tiles, 'tileSize' | 'maxLevel' | 'widthPx' | 'heightPx'>,
  level: number,
  { minX, minY, maxX, maxY }: Box,
): { readonly column: number; readonly row: number }[] {
  const side = tileSize * 2 ** (maxLevel - level);
  const last = (px: number, size: number): number => Math.floor(Math.min(px, size - 1) / side);
  const first = (px: number): number => Math.floor(Math.max(0, px) / side);
  const places = [];
  for (let row = first(minY); row <= last(maxY, heightPx); row++) {
    for (let column = first(minX); column <= last(maxX, widthPx); column++) places.push({ column, row });
  }
  return places;
}

/**
 * Draws a part of a photo into a canvas, filling it.
 *
 * @param box part in pixels of the photo, with the shape of the canvas
 */
export async function drawCrop(canvas: HTMLCanvasElement, tiles: Tiles, box: Box): Promise<void> {
  const pen = canvas.getContext('2d');
  if (pen === null) return;
  const scale = canvas.width / (box.maxX - box.minX);
  const level = levelFor(tiles, scale);
  const step = 2 ** (tiles.maxLevel - level);
  const places = tilesIn(tiles, level, box);
  const images = await Promise.all(places.map(({ column, row }) => tile(tiles.addressOf(level, column, row))));
  images.forEach((image, i) => {
    const at = places[i];
    if (image === null || at === undefined) return;
    // All but the first square of a row or column begin with the pixels that they share with the one before.
    const x = (at.column * tiles.tileSize - (at.column > 0 ? tiles.overlap : 0)) * step;
    const y = (at.row * tiles.tileSize - (at.row > 0 ? tiles.overlap : 0)) * step;
    const [width, height] = [image.naturalWidth * step * scale, image.naturalHeight * step * scale];
    pen.drawImage(image, (x - box.minX) * scale, (y - box.minY) * scale, width, height);
  });
}
