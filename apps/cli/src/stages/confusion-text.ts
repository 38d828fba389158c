import { agreementOf, type Confusion } from '@veligrid/imaging';
import { textTable } from '../text-table.js';

const share = (value: number | null | undefined): string =>
  value === null || value === undefined ? '-' : value.toFixed(3);

/** A confusion table as text: rows are what it is, columns what was said, with recall at the right and precision below. */
export function confusionTable(confusion: Confusion): string {
  const { stages, table } = confusion;
  const { recalls, precisions } = agreementOf(confusion);
  const heading = ['is \\ said', ...stages, 'recall'];
  const rows = stages.map((stage, i) => [stage, ...(table[i] ?? []).map(String), share(recalls[i])]);
  const last = ['precision', ...precisions.map(share), ''];
  return textTable([heading, ...rows, last], { right: heading.map((_, column) => column).slice(1) });
}
