import { readFileSync, writeFileSync } from 'node:fs';
import { format, resolveConfig } from 'prettier';
import { withMeasured } from './with-section.js';

const TARGET = 'docs/performance.md';

/** A section and what is wrong with what it says. */
export interface Report {
  readonly heading: string;
  readonly text: string;
  readonly wrong: readonly string[];
}

/** Prints a report, writes it into docs/performance.md unless the command was called with --print, and ends with 1 when a limit does not hold. */
export async function publish({ heading, text, wrong }: Report): Promise<void> {
  process.stdout.write(`${heading}\n\n${text}\n`);
  process.stderr.write(wrong.map((line) => `${line}\n`).join(''));
  if (wrong.length > 0) process.exitCode = 1;
  if (process.argv.includes('--print')) return;
  const options = { ...(await resolveConfig(TARGET)), filepath: TARGET };
  writeFileSync(TARGET, await format(withMeasured(readFileSync(TARGET, 'utf8'), heading, text), options));
}
