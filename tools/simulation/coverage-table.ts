import type { Coverage, Help } from './coverage.js';

const HELP: Readonly<Record<Help, string>> = { none: 'none', starting: 'starting CV', own: 'own, 30 degrees' };

const percent = (part: number): string => (100 * part).toFixed(1);

/** Results as a Markdown table. */
export function coverageTable(results: readonly Coverage[]): string {
  const rows = results.map(({ help, subsamples, mean, cv, covered, countingAlone, widthOverIdeal }) => [
    HELP[help],
    String(subsamples),
    String(mean),
    `${(100 * cv).toFixed(0)} %`,
    percent(covered),
    widthOverIdeal.toFixed(2),
    percent(countingAlone),
  ]);
  const head = [
    'history',
    'subsamples',
    'mean count of one',
    'true CV between',
    'covered, %',
    'median width / ideal',
    'counting error alone covers, %',
  ];
  return [head, head.map(() => '---'), ...rows].map((row) => `| ${row.join(' | ')} |`).join('\n');
}

const START = '<!-- coverage: written by npm run long:simulate -->';
const END = '<!-- end of coverage -->';

/**
 * The document with its table replaced.
 *
 * @throws Error when the marks around the table are missing
 */
export function withTable(document: string, text: string): string {
  const [from, to] = [document.indexOf(START), document.indexOf(END)];
  if (from < 0 || to < from) throw new Error(`The document lacks the line ${START} or ${END}`);
  return `${document.slice(0, from)}${START}\n\n${text}\n\n${document.slice(to)}`;
}
