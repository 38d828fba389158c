/**
 * Takes the scale of drawn slides with known truth, without being told any, and writes the section "Scale" of docs/accuracy.md.
 *
 *   npm run long:scale -- DIR [--print]
 *
 * DIR holds slides and truth of the suites calibration and phone as packages/imaging/training/drawer/render.py draws them. With
 * --print nothing is written to docs/.
 */
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { calibratePhoto, countPhoto } from '@veligrid/imaging';
import { withSection } from './with-section.js';

/** What the drawer says of a slide. */
interface Truth {
  readonly suite: string;
  readonly um_per_px: number;
  readonly micrometer?: object;
  readonly eyepiece_scale?: { readonly divisions: number; readonly start_px: number[]; readonly end_px: number[] };
}

/** Errors in per cent of the truth; null where no scale was taken. */
interface Group {
  readonly name: string;
  readonly errors: (number | null)[];
}

const DOC = 'docs/accuracy.md';
const HEADING = '## Scale';

const groups = {
  micrometer: { name: 'stage micrometer, scale', errors: [] },
  squares: { name: 'ruled squares, scale', errors: [] },
  eyepiece: { name: 'eyepiece ruler, division', errors: [] },
  none: { name: 'no eyepiece ruler', errors: [] },
} satisfies Record<string, Group>;

function divisionOf(truth: Truth): number | null {
  if (truth.eyepiece_scale === undefined) return null;
  const { divisions, start_px: start, end_px: end } = truth.eyepiece_scale;
  return Math.hypot((end[0] ?? 0) - (start[0] ?? 0), (end[1] ?? 0) - (start[1] ?? 0)) / divisions;
}

async function measure(path: string, truth: Truth): Promise<void> {
  if (truth.suite === 'calibration') {
    const group: Group = truth.micrometer === undefined ? groups.squares : groups.micrometer;
    const [count] = await countPhoto(path);
    const umPerPx = count?.scale.umPerPx ?? null;
    group.errors.push(umPerPx === null ? null : 100 * (umPerPx / truth.um_per_px - 1));
    return;
  }
  const division = divisionOf(truth);
  const group: Group = division === null ? groups.none : groups.eyepiece;
  // one micrometre a division makes the scale the division's reciprocal
  const seen = await calibratePhoto(path, { kind: 'ruler', divisionUm: 1 });
  group.errors.push(seen.found ? 100 * (1 / seen.umPerPx / (division ?? Number.NaN) - 1) : null);
}

function rowOf({ name, errors }: Group): string {
  const taken = errors.filter((error) => error !== null).map(Math.abs);
  const mean = taken.reduce((sum, error) => sum + error, 0) / taken.length;
  const figure = (value: number): string => (taken.length === 0 || Number.isNaN(value) ? '-' : value.toFixed(3));
  const cells = [name, errors.length, taken.length, figure(mean), figure(Math.max(0, ...taken))];
  return `| ${cells.join(' | ')} |`;
}

const [dir, flag] = process.argv.slice(2);
if (dir === undefined) {
  process.stderr.write('Name the folder of slides with truth: npm run long:scale -- DIR\n');
  process.exitCode = 2;
} else {
  const slides = readdirSync(dir).filter((name) => name.endsWith('.jpg'));
  for (const slide of slides.sort()) {
    const path = join(dir, slide);
    await measure(path, JSON.parse(readFileSync(path.replace(/\.jpg$/, '.json'), 'utf8')) as Truth);
  }
  const section = `${HEADING}

${String(slides.length)} slides of ${basename(dir)}, drawn by computer, no scale given. Made by \`npm run long:scale -- DIR\`; the slides by

\`\`\`
/usr/bin/python3 packages/imaging/training/drawer/render.py --suite calibration --n 8 --out DIR
/usr/bin/python3 packages/imaging/training/drawer/render.py --suite phone --n 8 --out DIR
\`\`\`

| group | slides | scale taken | mean error % | worst error % |
| --- | --- | --- | --- | --- |
${Object.values(groups).map(rowOf).join('\n')}

A stage micrometer is taken for one of 10 um a division. The eyepiece's ruler is measured as \`veligrid calibrate --ruler-um\` does it, in every photo through an eyepiece; where there is none, none may be taken. What can't be relied on is refused with the reason, not counted as an error.
`;
  process.stdout.write(section);
  if (flag !== '--print') {
    writeFileSync(DOC, withSection(readFileSync(DOC, 'utf8'), HEADING, section));
  }
}
