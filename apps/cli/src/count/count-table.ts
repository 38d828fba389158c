import { textTable } from '../text-table.js';
import type { PageSummary } from './count-file.js';
import type { LengthFigures } from './length-figures.js';

/** What every figure that no person has confirmed is headed with. */
const NOT_SIGNED_OFF = 'NOT SIGNED OFF: found by the program, to be checked and confirmed by a person';

const HEADING = [
  'photo',
  'counted',
  'measured',
  'left out of lengths',
  'mean um',
  'median um',
  '10-90 % um',
  'um/px',
  'scale from',
  'warnings',
];

const figure = (value: number): string => value.toFixed(1);

function leftOutWords({ leftOut }: LengthFigures): string {
  const parts = Object.entries(leftOut).filter(([, number]) => number > 0);
  const all = parts.reduce((sum, [, number]) => sum + number, 0);
  const reasons = parts.map(([reason, number]) => `${String(number)} ${reason.replaceAll('-', ' ')}`);
  return parts.length === 0 ? '0' : `${String(all)} (${reasons.join(', ')})`;
}

const photoName = ({ photo, page, pages }: PageSummary): string =>
  pages === 1 ? photo : `${photo} page ${String(page)}`;

function row(summary: PageSummary): string[] {
  const { counted, figures, scale, warnings } = summary;
  const lengths = figures.lengthUm;
  return [
    photoName(summary),
    String(counted),
    String(figures.measured),
    leftOutWords(figures),
    lengths === null ? '-' : figure(lengths.mean),
    lengths === null ? '-' : figure(lengths.median),
    lengths === null ? '-' : `${figure(lengths.p10)}-${figure(lengths.p90)}`,
    scale.umPerPx === null ? '-' : scale.umPerPx.toFixed(4),
    scale.source,
    String(warnings.length),
  ];
}

/** The table of a run: one row per page under the words that nothing is signed off, then each warning. */
export function countTable(summaries: readonly PageSummary[]): string {
  if (summaries.length === 0) return '';
  const table = textTable([HEADING, ...summaries.map(row)], { right: [1, 2, 4, 5, 6, 7, 9] });
  const warnings = summaries.flatMap((summary) =>
    summary.warnings.map(({ message }) => `Warning, ${photoName(summary)}: ${message}\n`),
  );
  return `${NOT_SIGNED_OFF}\n\n${table}${warnings.length > 0 ? '\n' : ''}${warnings.join('')}`;
}
