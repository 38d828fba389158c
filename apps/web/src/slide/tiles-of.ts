import type { Pyramid } from '@veligrid/api';
import type { Tiles } from './picture.js';

/** The pyramid as the tile viewer wants it, with addresses from the template that the server gives. */
export const tilesOf = ({ address, widthPx, heightPx, tileSize, overlap, maxLevel }: Pyramid): Tiles => ({
  widthPx,
  heightPx,
  tileSize,
  overlap,
  maxLevel,
  addressOf: (level, column, row) =>
    address.replace('{level}', String(level)).replace('{column}', String(column)).replace('{row}', String(row)),
});
