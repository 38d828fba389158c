/** Columns whose cells stand at the right. */
export interface TableOptions {
  readonly right: readonly number[];
}

/**
 * Lays out rows as plain text in columns two spaces apart.
 *
 * @param rows cells by row, the heading first; all rows of one length
 */
export function textTable(rows: readonly (readonly string[])[], { right }: TableOptions): string {
  const widths = (rows[0] ?? []).map((_, column) => Math.max(...rows.map((row) => (row[column] ?? '').length)));
  const lines = rows.map((row) =>
    row
      .map((cell, column) => {
        const width = widths[column] ?? 0;
        return right.includes(column) ? cell.padStart(width) : cell.padEnd(width);
      })
      .join('  ')
      .trimEnd(),
  );
  return `${lines.join('\n')}\n`;
}
