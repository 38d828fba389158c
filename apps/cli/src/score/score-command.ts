import { confusion } from '@veligrid/imaging';
import { STAGES } from '@veligrid/model';
import type { Console } from '../console.js';
import { EXIT } from '../exit-codes.js';
import { textTable } from '../text-table.js';
import { confusionTable } from '../stages/confusion-text.js';
import { scoreFolders, type Report } from './score-folders.js';
import type { Agreement } from './tally.js';

const HEADING = [
  'group',
  'photos',
  'there',
  'found',
  'precision',
  'recall',
  'F1',
  'count %',
  '|count| %',
  'length %',
  '|length| %',
  'overlap',
  '|scale| %',
  'false/photo',
];

const shown = (value: number | null, decimals: number): string => (value === null ? '-' : value.toFixed(decimals));

function row(group: string, a: Agreement): string[] {
  return [
    group,
    String(a.photos),
    String(a.truth),
    String(a.found),
    shown(a.precision, 3),
    shown(a.recall, 3),
    shown(a.f1, 3),
    shown(a.countErrorPct, 2),
    shown(a.absCountErrorPct, 2),
    shown(a.lengthBiasPct, 2),
    shown(a.lengthMaePct, 2),
    shown(a.meanOverlap, 3),
    shown(a.scaleErrorPct, 3),
    shown(a.falseFindsPerPhoto, 2),
  ];
}

/** Confusion of all stages, and one line of share errors a group; empty when no stages are named. */
function stageText(groups: Report['groups'], all: Agreement): string {
  if (all.judged.length === 0) return '';
  const rows = [...groups, ['all', all] as const]
    .filter(([, { judged }]) => judged.length > 0)
    .map(([group, a]) => [
      group,
      String(a.judged.length),
      shown(a.judged.filter(({ truth, said }) => truth === said).length / a.judged.length, 3),
      shown(a.fertilisedErrorPoints, 2),
      shown(a.readyErrorPoints, 2),
      shown(a.calibrationError, 3),
    ]);
  const heading = ['stages', 'larvae', 'right', '|fertilised| points', '|ready| points', 'calibration error'];
  const table = textTable([heading, ...rows], { right: [1, 2, 3, 4, 5] });
  return `\n${confusionTable(confusion(all.judged, STAGES))}\n${table}`;
}

/**
 * Prints how well count files agree with truth: one row a group, then all.
 *
 * @returns exit code 0
 * @throws VeligridError `bad-argument` when there is nothing to score
 */
export async function scoreCommand(predictions: string, truth: string, console: Console): Promise<number> {
  const { groups, all } = await scoreFolders(predictions, truth);
  const rows = [...groups.map(([group, agreement]) => row(group, agreement)), row('all', all)];
  console.out(textTable([HEADING, ...rows], { right: HEADING.map((_, i) => i).slice(1) }));
  console.out('\nSigned means show a lean to one side; |..| are mean sizes. Errors in per cent of the truth.\n');
  console.out(stageText(groups, all));
  if (all.missing > 0) {
    console.err(
      `${String(all.missing)} of ${String(all.photos)} photos have no count file and count as nothing found.\n`,
    );
  }
  return EXIT.done;
}
