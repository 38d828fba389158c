import type { DrawnField, FieldPlan } from '@veligrid/estimation';
import { planWords } from './field-text.js';
import { NAMING } from './read-plan.js';
import { CELL_LAYOUTS, columnLetters } from '@veligrid/estimation';

/** Side of a square on the map, in the drawing's units, and room for the heads of rows and columns. */
const SIDE = 20;
const HEAD = 30;

const STYLE = `@page { size: A4 landscape; margin: 12mm }
body { font: 11pt sans-serif; color: #000; background: #fff; margin: 1em }
svg { width: 100%; height: auto }
svg text { font: 9px sans-serif; text-anchor: middle; fill: #000 }
.line { stroke: #888; stroke-width: .6 }
.fifth { stroke: #000; stroke-width: 1.2 }
.field { fill: #cfe3f5; stroke: #000; stroke-width: 1.6 }
svg .number { font-weight: bold; font-size: 11px }
table { border-collapse: collapse; columns: 2 }
td, th { border: 1px solid #888; padding: .15em .6em; text-align: left }
tr { break-inside: avoid }`;

function drawField({ number, column, row }: DrawnField, columns: number): string {
  const [x, width] = column === null ? [HEAD, columns * SIDE] : [HEAD + (column - 1) * SIDE, SIDE];
  const y = HEAD + (row - 1) * SIDE;
  const box = `<rect class="field" x="${String(x)}" y="${String(y)}" width="${String(width)}" height="${String(SIDE)}"/>`;
  return `${box}<text class="number" x="${String(x + width / 2)}" y="${String(y + SIDE / 2 + 4)}">${number}</text>`;
}

/** Lines of the ruling, every fifth one heavier, with letters above and numbers at the left. */
function drawRuling(columns: number, rows: number): string {
  const parts: string[] = [];
  const [right, bottom] = [HEAD + columns * SIDE, HEAD + rows * SIDE];
  for (let column = 0; column <= columns; column++) {
    const x = HEAD + column * SIDE;
    parts.push(
      `<path class="${column % 5 === 0 ? 'fifth' : 'line'}" d="M${String(x)} ${String(HEAD)}V${String(bottom)}"/>`,
    );
    if (column === columns) continue;
    parts.push(`<text x="${String(x + SIDE / 2)}" y="${String(HEAD - 8)}">${columnLetters(column)}</text>`);
  }
  for (let row = 0; row <= rows; row++) {
    const y = HEAD + row * SIDE;
    parts.push(
      `<path class="${row % 5 === 0 ? 'fifth' : 'line'}" d="M${String(HEAD)} ${String(y)}H${String(right)}"/>`,
    );
    if (row < rows)
      parts.push(`<text x="${String(HEAD / 2)}" y="${String(y + SIDE / 2 + 3)}">${String(row + 1)}</text>`);
  }
  return parts.join('');
}

/**
 * The plan as a page to print: map of the cell with the drawn fields numbered, and a list to tick off with room for the
 * names of the photos. One file without anything from outside.
 */
export function fieldMap(plan: FieldPlan): string {
  const { columns, rows } = CELL_LAYOUTS[plan.cell];
  const size = `0 0 ${String(HEAD + columns * SIDE + 4)} ${String(HEAD + rows * SIDE + 4)}`;
  const map = plan.fields.map((field) => drawField(field, columns)).join('') + drawRuling(columns, rows);
  const list = plan.fields
    .map(({ number, name }) => `<tr><td>${number}</td><td>${name}</td><td>&#9744;</td><td>&#160;</td></tr>`)
    .join('\n');
  return `<!doctype html>
<html lang="en">
<head><meta charset="utf-8"><title>Fields to photograph</title>
<style>${STYLE}</style></head>
<body>
<h1>Fields to photograph</h1>
<p>${planWords(plan)}. Letters from the left, numbers from the top. Take every field, also those that look empty or crowded. ${NAMING}</p>
<svg xmlns="http://www.w3.org/2000/svg" viewBox="${size}" role="img" aria-label="Map of the cell with the drawn fields">${map}</svg>
<table><thead><tr><th>field</th><th>name</th><th>done</th><th>photo, when called otherwise</th></tr></thead>
<tbody>
${list}
</tbody></table>
</body>
</html>
`;
}
