import { CELL_LAYOUTS, columnLetters, type FieldPlan } from '@veligrid/estimation';
import { textTable } from '../text-table.js';
import { NAMING } from './read-plan.js';

/** One line that says what was drawn and how to draw it again. */
export function planWords({ cell, unit, seed, drawnAt, fields }: FieldPlan): string {
  return `${String(fields.length)} ${unit} of a ${CELL_LAYOUTS[cell].words}; seed ${String(seed)}, drawn ${drawnAt}`;
}

/** Map of the cell in letters: a dot a square, the field's number where one was drawn. */
function textMap({ cell, fields }: FieldPlan): string {
  const { columns, rows } = CELL_LAYOUTS[cell];
  const digits = Math.max(...fields.map(({ number }) => number.length));
  const lines: string[] = [];
  const heads = Array.from({ length: columns }, (_, column) => columnLetters(column).padStart(digits));
  lines.push(`    ${heads.join(' ')}`);
  for (let row = 1; row <= rows; row++) {
    const cells = Array.from({ length: columns }, (_, k) => {
      const field = fields.find((one) => one.row === row && (one.column === null || one.column === k + 1));
      return (field?.number ?? '.').padStart(digits);
    });
    lines.push(`${String(row).padStart(3)} ${cells.join(' ')}`);
  }
  return `${lines.join('\n')}\n`;
}

/** The list of fields and the map as plain text. */
export function fieldText(plan: FieldPlan): string {
  const { columns } = CELL_LAYOUTS[plan.cell];
  const rows = plan.fields.map(({ number, name, column, row }) => [
    number,
    name,
    column === null ? `1-${String(columns)}` : String(column),
    String(row),
  ]);
  const list = textTable([['field', 'name', 'column from the left', 'row from the top'], ...rows], {
    right: [0, 2, 3],
  });
  return `${planWords(plan)}\n\n${list}\n${textMap(plan)}\n${NAMING}\n`;
}
