import { figure, limitsText, type Cell, type Row, type View } from '@veligrid/season';
import { textTable } from '../../text-table.js';

/** Day and minute in UTC: short, and the same on every machine. */
const shortTime = (time: string): string => time.replace('T', ' ').replace(/:\d\d\.\d{3}Z$/, 'Z');

const TIME = /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z$/;

/** A cell as people read it; nothing for what is not known. */
function cellText(cell: Cell | undefined): string {
  if (cell === null || cell === undefined) return '';
  if (typeof cell === 'number') return figure(cell);
  if (typeof cell === 'boolean') return cell ? 'yes' : 'no';
  if (typeof cell === 'string') return TIME.test(cell) ? shortTime(cell) : cell;
  if ('estimate' in cell) return limitsText(cell);
  return cell.join(', ');
}

/** `volumeL` as `volume L`. */
const heading = (key: string): string =>
  key
    .replace(/([a-z])([A-Z])/g, '$1 $2')
    .replace(/ ([A-Z])([a-z])/g, (_, a: string, b: string) => ` ${a.toLowerCase()}${b}`);

/** Rows as a table; a sentence when there are none. */
export function rowsText(rows: readonly Row[], none: string): string {
  const [first] = rows;
  if (first === undefined) return `${none}\n`;
  const keys = Object.keys(first).filter((key) => key !== 'id');
  const shown = keys.filter((key) => rows.some((row) => cellText(row[key]) !== ''));
  const right = shown.flatMap((key, i) =>
    rows.every((row) => typeof row[key] === 'number' || row[key] === null) ? [i] : [],
  );
  return textTable([shown.map(heading), ...rows.map((row) => shown.map((key) => cellText(row[key])))], { right });
}

const isRows = (value: View[string]): value is readonly Row[] =>
  Array.isArray(value) && value.some((one) => typeof one === 'object');

/** Fields one below the other, then every list of rows as a table of its own. */
export function viewText(view: View): string {
  const entries = Object.entries(view).filter(([, value]) => !(Array.isArray(value) && value.length === 0));
  const plain = entries.flatMap(([key, value]) =>
    isRows(value) || cellText(value) === '' ? [] : [[heading(key), cellText(value)]],
  );
  const tables = entries.flatMap(([key, value]) =>
    isRows(value) ? [`\n${heading(key)}\n${rowsText(value, '')}`] : [],
  );
  return [plain.length === 0 ? '' : textTable(plain, { right: [] }), ...tables].join('');
}
