/**
 * Counts every slide with truth below a folder, scale given, and writes docs/accuracy.md.
 *
 *   npm run long:accuracy -- DIR [--no-scale]
 *
 * DIR holds slides and truth as packages/imaging/training/drawer/render.py draws them. With --no-scale the scale comes from
 * the ruled lines, and nothing is written to docs/.
 */
import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, dirname, join } from 'node:path';
import { countPhoto } from '@veligrid/imaging';

const [dir, ...flags] = process.argv.slice(2);
const noScale = flags.includes('--no-scale');

function slidesIn(folder: string): string[] {
  return readdirSync(folder, { recursive: true })
    .map(String)
    .filter((name) => name.endsWith('.jpg'))
    .sort();
}

async function countAll(folder: string, out: string): Promise<number> {
  const slides = slidesIn(folder);
  for (const [k, slide] of slides.entries()) {
    const truth = JSON.parse(readFileSync(join(folder, slide.replace(/\.jpg$/, '.json')), 'utf8')) as {
      um_per_px: number;
    };
    const [count] = await countPhoto(join(folder, slide), noScale ? {} : { scaleUmPerPx: truth.um_per_px });
    const target = join(out, slide.replace(/\.jpg$/, '.json'));
    mkdirSync(dirname(target), { recursive: true });
    writeFileSync(target, JSON.stringify(count));
    process.stderr.write(`\r${String(k + 1)} of ${String(slides.length)}`);
  }
  process.stderr.write('\n');
  return slides.length;
}

if (dir === undefined) {
  process.stderr.write('Name the folder of slides with truth: npm run long:accuracy -- DIR\n');
  process.exitCode = 2;
} else {
  const out = mkdtempSync(join(tmpdir(), 'veligrid-accuracy-'));
  const slides = await countAll(dir, out);
  const score = spawnSync(process.execPath, ['apps/cli/dist/main.js', 'score', out, dir], { encoding: 'utf8' });
  process.stdout.write(score.stdout + score.stderr);
  process.exitCode = score.status ?? 1;
  if (score.status === 0 && !noScale) {
    const text = `# Accuracy

${String(slides)} slides of ${basename(dir)}, drawn by computer, scale given. Made by \`npm run long:accuracy -- DIR\`; the slides by

\`\`\`
/usr/bin/python3 packages/imaging/training/drawer/render.py --suite all --n 8 --out DIR
\`\`\`

\`\`\`
${score.stdout.trimEnd()}
\`\`\`

What the finder was trained on, and its figures on a fresh seed and on photographs: packages/imaging/models/README.md.
`;
    // the section on scale is made by another run: tools/scale-accuracy.ts
    const [, scale] = readFileSync('docs/accuracy.md', 'utf8').split('\n## Scale\n');
    writeFileSync('docs/accuracy.md', scale === undefined ? text : `${text}\n## Scale\n${scale}`);
  }
}
