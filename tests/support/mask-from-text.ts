import type { GreyRaster } from '../../packages/imaging/src/raster.js';

/** A mask drawn with `#` (255) and `.` (0), one line a row; spaces and empty lines around are ignored. */
export function maskFromText(drawing: string): GreyRaster {
  const rows = drawing
    .split('\n')
    .map((row) => row.trim())
    .filter((row) => row !== '');
  const width = rows[0]?.length ?? 0;
  if (width === 0 || rows.some((row) => row.length !== width)) throw new Error('rows of one length, at least one');
  const data = Uint8Array.from(rows.join(''), (sign) => {
    if (sign !== '#' && sign !== '.') throw new Error(`only # and . are allowed, but got ${sign}`);
    return sign === '#' ? 255 : 0;
  });
  return { width, height: rows.length, data };
}
