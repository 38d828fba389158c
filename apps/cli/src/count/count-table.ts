import { textTable } from '../text-table.js';
import type { CountingRule } from '@veligrid/model';
import type { PageSummary } from './count-file.js';
import type { LengthFigures } from './length-figures.js';

/** What every figure that no person has confirmed is headed with. */
const NOT_SIGNED_OFF = 'NOT SIGNED OFF: found by the program, to be checked and confirmed by a person';

const HEADING = [
  'photo',
  'counted',
  'in area',
  'area mm2',
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
  const { counted, inArea, counting, figures, scale, warnings } = summary;
  const lengths = figures.lengthUm;
  return [
    photoName(summary),
    String(counted),
    String(inArea),
    counting.areaMm2 === null ? '-' : figure(counting.areaMm2),
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

const RULES: Readonly<Record<CountingRule, string>> = {
  centroid: 'an object belongs where its centroid lies',
  'two-sides': 'what touches the left or top side is out, what touches the right or lower side is in',
};

/** Says by which rule the area was counted, and whether the photos show fields that were drawn. */
function countingWords(summaries: readonly PageSummary[]): string {
  const rules = [...new Set(summaries.map(({ counting }) => counting.rule))];
  const lines = rules.map((rule) => `In area by the rule ${rule}: ${RULES[rule]}.\n`);
  const chosen = summaries.filter(({ counting }) => counting.flags.includes('fields-not-random')).length;
  if (chosen > 0) {
    const which = chosen === summaries.length ? 'These fields' : `${String(chosen)} of these fields`;
    lines.push(
      `fields-not-random: ${which} were not drawn before anybody looked. Draw them with veligrid fields and count with --fields.\n`,
    );
  }
  return lines.join('');
}

/** Counted objects by stage, one line a photo. */
function stageWords(summaries: readonly PageSummary[]): string {
  const lines = summaries
    .filter(({ counted }) => counted > 0)
    .map((summary) => {
      const parts = Object.entries(summary.stages).map(([stage, number]) => `${stage} ${String(number)}`);
      return `Stages, ${photoName(summary)}: ${parts.join(', ')}\n`;
    });
  return lines.length === 0 ? '' : `\n${lines.join('')}`;
}

/** The table of a run: one row per page under the words that nothing is signed off, then each warning. */
export function countTable(summaries: readonly PageSummary[]): string {
  if (summaries.length === 0) return '';
  const table = textTable([HEADING, ...summaries.map(row)], { right: [1, 2, 3, 4, 6, 7, 8, 9, 11] });
  const warnings = summaries.flatMap((summary) =>
    summary.warnings.map(({ message }) => `Warning, ${photoName(summary)}: ${message}\n`),
  );
  return `${NOT_SIGNED_OFF}\n\n${table}\n${countingWords(summaries)}${stageWords(summaries)}${warnings.length > 0 ? '\n' : ''}${warnings.join('')}`;
}
