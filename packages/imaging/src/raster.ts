/** 8-bit RGB picture: rows from the top, three interleaved bytes a pixel, upright, without padding. */
export interface Raster {
  readonly width: number;
  readonly height: number;
  /** `width * height * 3` bytes. */
  readonly data: Uint8Array;
}

/** 8-bit single-channel picture, rows from the top, one byte a pixel. */
export interface GreyRaster {
  readonly width: number;
  readonly height: number;
  /** `width * height` bytes. */
  readonly data: Uint8Array;
}

/**
 * Closed outline as interleaved x, y in pixels (pixel centres at integers), without a repeated end point, clockwise
 * on the screen.
 */
export type Outline = Float64Array;
