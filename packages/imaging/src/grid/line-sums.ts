/**
 * Sums along all straight lines of a picture that lean up to 45 degrees to one side, by doubling: sums over two rows,
 * then four, then eight, so that shared parts are added once. M. L. Brady, "A fast discrete approximation algorithm for the Radon
 * transform", SIAM J. Comput. 27(1), 1998, 107-119 (method from memory of the paper).
 */
export interface LineSums {
  /** Rows in the picture rounded up to a power of two; also the number of shifts. */
  readonly rows: number;
  /** Number of starting columns: `rows` to the left of the picture, then those of the picture. */
  readonly columns: number;
  /**
   * `rows * columns` sums: at `shift * columns + start + rows` along the line from column `start` in row 0 to column
   * `start + shift` in row `rows - 1`.
   */
  readonly sums: Float32Array;
}

/**
 * Sums along lines from (start, 0) to (start + shift, rows - 1), 0 <= shift < rows, of a picture that is zero outside.
 *
 * @param picture `width * height` values, rows from the top
 * @param width columns
 * @param height rows
 */
export function lineSums(picture: Float32Array, width: number, height: number): LineSums {
  let rows = 1;
  while (rows < height) rows *= 2;
  const columns = rows + width;
  let from = new Float32Array(rows * columns);
  let to = new Float32Array(rows * columns);
  for (let row = 0; row < height; row++) {
    from.set(picture.subarray(row * width, (row + 1) * width), row * columns + rows);
  }
  for (let block = 1; block < rows; block *= 2) {
    // blocks below the picture are zero and stay zero
    for (let top = 0; top < height; top += 2 * block) joinBlocks(from, to, { top, block, columns });
    [from, to] = [to, from];
  }
  return { rows, columns, sums: from };
}

/** Joins the block of rows at `top` with the one below it: shift 2a and 2a + 1 both use shift a in each half. */
function joinBlocks(
  from: Float32Array,
  to: Float32Array,
  at: { readonly top: number; readonly block: number; readonly columns: number },
): void {
  const { top, block, columns } = at;
  for (let shift = 0; shift < block; shift++) {
    const upper = (top + shift) * columns;
    const lower = (top + block + shift) * columns + shift;
    const even = (top + 2 * shift) * columns;
    const odd = even + columns;
    const inside = columns - shift - 1;
    for (let column = 0; column < inside; column++) {
      const value = from[upper + column];
      to[even + column] = value + from[lower + column];
      to[odd + column] = value + from[lower + column + 1];
    }
    to[even + inside] = from[upper + inside] + from[lower + inside];
    to[odd + inside] = from[upper + inside];
    for (let column = inside + 1; column < columns; column++) {
      to[even + column] = from[upper + column];
      to[odd + column] = from[upper + column];
    }
  }
}
