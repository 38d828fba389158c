import type { Result, Sample } from '@veligrid/api';
import { COLUMNS, type ObjectRow } from './object-row.js';

type Cell = string | number | boolean | null;

const estimateRows = (name: string, { densityPerMl, total }: Result['all']): Cell[][] => [
  [`${name}, per mL`, densityPerMl.estimate, densityPerMl.low, densityPerMl.high],
  [`${name}, in the container`, total.estimate, total.low, total.high],
];

function summary(sample: Sample, result: Result): Cell[][] {
  const { all, alive, shares, lengths, cautions } = result;
  const mean = lengths?.mean ?? null;
  return [
    ['tank', sample.tankName],
    ['batch', sample.batchName],
    ['taken at', sample.takenAt],
    ['container, mL', sample.containerMl],
    ['signed off by', result.signedOff.by],
    ['signed off at', result.signedOff.at],
    ['counting rule', result.countingRule],
    ['stage rules', result.rulesVersion],
    ['animals counted', result.animals],
    [],
    ['figure', 'estimate', 'lower limit', 'upper limit'],
    ...estimateRows('all', all),
    ...(alive === null ? [] : estimateRows('alive', alive)),
    ...shares.map(({ stage, share }): Cell[] => [`share ${stage}`, share.estimate, share.low, share.high]),
    ...(mean === null ? [] : [['mean length, um', mean.estimate, mean.low, mean.high] satisfies Cell[]]),
    [],
    ...[...all.warnings, ...cautions].map(({ message }): Cell[] => ['note', message]),
  ];
}

/** A spreadsheet of a result: a sheet of figures, and one with a row for each animal. Texts stay texts, never formulas. */
export async function workbook(sample: Sample, result: Result, rows: readonly ObjectRow[]): Promise<Buffer> {
  const objects: Cell[][] = [[...COLUMNS], ...rows.map((row) => COLUMNS.map((column): Cell => row[column]))];
  const sheets = [
    { data: summary(sample, result), sheet: 'result' },
    { data: objects, sheet: 'animals' },
  ];
  // many files, which no other work needs
  const { default: writeExcelFile } = await import('write-excel-file/node');
  return writeExcelFile(sheets).toBuffer();
}
