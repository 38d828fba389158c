/** A signed-off object with all that a row of a table needs to stand alone. */
export interface ObjectRow {
  readonly photo: string;
  readonly filling: number;
  readonly square: string | null;
  readonly object: string;
  readonly stage: string;
  readonly form: string;
  readonly length_um: number | null;
  readonly height_um: number | null;
  readonly measurable: boolean;
  readonly tank: string;
  readonly batch: string | null;
  readonly taken_at: string;
  readonly signed_off_by: string;
  readonly signed_off_at: string;
}

/** Columns in the order of the tables. */
export const COLUMNS: readonly (keyof ObjectRow)[] = [
  'photo',
  'filling',
  'square',
  'object',
  'stage',
  'form',
  'length_um',
  'height_um',
  'measurable',
  'tank',
  'batch',
  'taken_at',
  'signed_off_by',
  'signed_off_at',
];
