/**
 * The calls of OpenCV that this room makes, written by hand: the package's own types are all `any`. Nothing here may
 * leave the folder, as every `Mat` is memory that has to be freed.
 */

/** Memory of OpenCV's own; must be deleted once. */
export interface Owned {
  delete(): void;
  isDeleted(): boolean;
}

/** Matrix in OpenCV's memory. The views are valid only until the next call that may allocate. */
export interface Mat extends Owned {
  readonly rows: number;
  readonly cols: number;
  readonly data: Uint8Array;
  readonly data32S: Int32Array;
  readonly data32F: Float32Array;
  readonly data64F: Float64Array;
}

/** Width and height of a matrix, by value. */
export interface CvSize {
  readonly width: number;
  readonly height: number;
}

/** The loaded library. */
export interface OpenCv {
  readonly HEAPU8: Uint8Array;
  readonly Mat: new (rows?: number, columns?: number, type?: number) => Mat;
  readonly Size: new (width: number, height: number) => CvSize;
  readonly Scalar: new (value?: number) => readonly number[];

  readonly CV_8UC1: number;
  readonly CV_32SC1: number;
  readonly CV_32FC1: number;
  readonly BORDER_REPLICATE: number;
  readonly BORDER_REFLECT_101: number;
  readonly INTER_AREA: number;
  readonly INTER_LINEAR: number;
  readonly INTER_CUBIC: number;
  readonly DIST_L2: number;
  readonly DIST_MASK_PRECISE: number;

  exceptionFromPtr(pointer: number): { readonly code: number; readonly msg: string };
  connectedComponentsWithStats(
    mask: Mat,
    labels: Mat,
    stats: Mat,
    centroids: Mat,
    connectivity: number,
    labelType: number,
  ): number;
  distanceTransform(mask: Mat, distances: Mat, metric: number, maskSize: number): void;
  GaussianBlur(from: Mat, to: Mat, kernel: CvSize, sigmaX: number, sigmaY: number, border: number): void;
  remap(
    from: Mat,
    to: Mat,
    mapX: Mat,
    mapY: Mat,
    interpolation: number,
    border: number,
    outside: readonly number[],
  ): void;
  resize(from: Mat, to: Mat, size: CvSize, scaleX: number, scaleY: number, interpolation: number): void;
}
