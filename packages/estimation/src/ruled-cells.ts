/** Cells that fields can be drawn on. */
export type RuledCell = 'sedgwick-rafter' | 'haemocytometer';

/** Squares of a cell. */
export interface CellLayout {
  readonly columns: number;
  readonly rows: number;
  /** Side of a square, mm. */
  readonly sideMm: number;
  /** Words for the map. */
  readonly words: string;
}

/**
 * A Sedgwick-Rafter cell is 50 x 20 mm, ruled in 1 mm squares (Bellinger and Sigee, Freshwater Algae, p. 246). An improved
 * Neubauer haemocytometer has 3 x 3 squares of 1 mm.
 */
export const CELL_LAYOUTS: Readonly<Record<RuledCell, CellLayout>> = {
  'sedgwick-rafter': { columns: 50, rows: 20, sideMm: 1, words: 'Sedgwick-Rafter cell, 50 x 20 squares of 1 mm' },
  haemocytometer: { columns: 3, rows: 3, sideMm: 1, words: 'haemocytometer, 3 x 3 squares of 1 mm' },
};

/** Column letters as on a sheet: A..Z, AA, AB ... */
export function columnLetters(column: number): string {
  const letter = String.fromCharCode(65 + (column % 26));
  return column < 26 ? letter : columnLetters(Math.floor(column / 26) - 1) + letter;
}
