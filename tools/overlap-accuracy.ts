/**
 * Joins photos cut from large drawn slides and writes the section "Photos of one filling" of docs/accuracy.md. Ends with 1
 * when the limits that are stated there do not hold.
 *
 *   npm run long:overlap -- DIR [--seed N] [--print]
 *
 * DIR holds slides as packages/imaging/training/drawer/filling.py draws them; when it does not exist they are drawn first, with
 * that seed. With --print nothing is written to docs/.
 */
import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { countPhoto, joinPhotos, photoView, readPhoto, type ViewedCount } from '@veligrid/imaging';
import { format, resolveConfig } from 'prettier';
import sharp from 'sharp';
import { setResult, type SetResult } from './overlap/set-result.js';
import { slidesBelow, type SlideTruth } from './overlap/slide-truth.js';

const DOC = 'docs/accuracy.md';
const HEADING = '## Photos of one filling';
const DRAWER = 'packages/imaging/training/drawer/filling.py';
/** Most error of the count of each kind of set, per cent, and fewest pairs of different places. */
const MOST_ERROR = 1;
const LEAST_PAIRS = 100;

interface Findings {
  readonly still: SetResult[];
  readonly live: SetResult[];
  /** Pairs of photos of different places, and those joined. */
  pairs: number;
  falseJoins: number;
  /** Photos laid beside a copy stored anew, and those recognised. */
  copies: number;
  copiesKnown: number;
}

async function viewed(photo: Buffer, name: string, scaleUmPerPx: number): Promise<ViewedCount> {
  const [count] = await countPhoto(photo, { name, scaleUmPerPx });
  for await (const { raster } of readPhoto(photo)) {
    if (count !== undefined) return { count, view: photoView(raster, scaleUmPerPx) };
  }
  throw new Error(`${name} holds no picture`);
}

async function measureSlide(dir: string, truth: SlideTruth, findings: Findings): Promise<void> {
  const taken = (name: string): Promise<ViewedCount> =>
    viewed(readFileSync(join(dir, truth.photos[name]?.image ?? '')), name, truth.um_per_px);
  for (const set of truth.sets) {
    const photos = await inTurn(set.photos, taken);
    const before = photos.map(({ count }) => count);
    const result = setResult(set, truth, { before, joined: joinPhotos(photos) });
    (truth.swim > 0 ? findings.live : findings.still).push(result);
    process.stderr.write(`${truth.name} ${JSON.stringify(result)}\n`);
  }
  const apart = await inTurn(truth.apart, taken);
  const { overlaps } = joinPhotos(apart);
  findings.pairs += (apart.length * (apart.length - 1)) / 2;
  findings.falseJoins += overlaps.length;
  const [first] = apart;
  if (first === undefined) return;
  const stored = await sharp(join(dir, truth.photos[first.count.photo]?.image ?? ''))
    .jpeg({ quality: 70 })
    .toBuffer();
  const same = joinPhotos([first, await viewed(stored, 'stored anew', truth.um_per_px)]).overlaps;
  findings.copies++;
  findings.copiesKnown += same.filter(({ isUnmoved }) => isUnmoved).length;
  process.stderr.write(`${truth.name}: ${String(overlaps.length)} of ${String(apart.length)} photos apart joined\n`);
}

async function inTurn<T, U>(all: readonly T[], work: (one: T) => Promise<U>): Promise<U[]> {
  const results: U[] = [];
  for (const one of all) results.push(await work(one));
  return results;
}

const sum = (sets: readonly SetResult[], of: (set: SetResult) => number): number =>
  sets.reduce((total, set) => total + of(set), 0);

/** Error of all sets together, per cent of the truth. */
const errorOf = (sets: readonly SetResult[]): number =>
  100 * (sum(sets, (s) => s.counted) / sum(sets, (s) => s.truth) - 1);

function rows(all: readonly SetResult[]): string {
  const names = [...new Set(all.map(({ name }) => name))];
  return names
    .map((name) => {
      const sets = all.filter((set) => set.name === name);
      const truth = sum(sets, (s) => s.truth);
      const cells = [
        name,
        sets.length,
        sets.filter(({ joined }) => joined).length,
        truth,
        sum(sets, (s) => s.counted),
        errorOf(sets).toFixed(2),
        (100 * (sum(sets, (s) => s.apart) / truth - 1)).toFixed(1),
        sum(sets, (s) => s.twice),
        sum(sets, (s) => s.lost),
      ];
      return `| ${cells.join(' | ')} |`;
    })
    .join('\n');
}

const TABLE_HEAD = `| photos share | sets | all joined | larvae drawn | counted | error % | error without joining % | still larvae twice | lost by joining |
| --- | --- | --- | --- | --- | --- | --- | --- | --- |`;

function sectionOf({ still, live, ...findings }: Findings, slides: number, seed: string): string {
  return `${HEADING}

${String(slides)} slides drawn by computer (seed ${seed}; another than the one the method was made on), cut into photos that share 5 to 40 % of their side, turned against each other by up to 3 degrees, each with brightness, blur, noise and JPEG quality of its own, all with the same dust on the lens. Made by \`npm run long:overlap -- DIR --seed ${seed}\`, which draws them by \`${DRAWER}\`.

${TABLE_HEAD}
${rows(still)}

Larvae drawn are those whole in at least one of the photos; the error holds the finder's own. Photos of different places, whole millimetres apart so that ruled lines fall on ruled lines: ${String(findings.pairs)} pairs, ${String(findings.falseJoins)} joined. A photo and its copy stored anew: ${String(findings.copiesKnown)} of ${String(findings.copies)} recognised.

Live slides, on which half of the larvae (or 95 %) swam between the shots; what swam is counted in both photos, and the count says how many that may be:

${TABLE_HEAD}
${rows(live)}
`;
}

function failures({ still, live, pairs, falseJoins, copies, copiesKnown }: Findings): string[] {
  const names = [...new Set(still.map(({ name }) => name))];
  const wrong = names.flatMap((name) => {
    const error = errorOf(still.filter((set) => set.name === name));
    return Math.abs(error) > MOST_ERROR
      ? [`${name}: error ${error.toFixed(2)} %, at most ${String(MOST_ERROR)} %`]
      : [];
  });
  if (falseJoins > 0) wrong.push(`${String(falseJoins)} pairs of different places were joined`);
  if (pairs < LEAST_PAIRS)
    wrong.push(`only ${String(pairs)} pairs of different places, at least ${String(LEAST_PAIRS)}`);
  if (copiesKnown < copies) wrong.push(`${String(copies - copiesKnown)} copies were not recognised`);
  const twice = sum(
    live.filter(({ joined }) => joined),
    (s) => s.twice,
  );
  if (twice > 0.01 * sum(live, (s) => s.truth))
    wrong.push(`${String(twice)} still larvae of live slides counted twice`);
  return wrong;
}

/** Puts the section in the place of the old one, or at the end. */
function withSection(text: string, section: string): string {
  const parts = text.split(/\n(?=## )/).filter((part) => !part.startsWith(HEADING));
  return `${parts.join('\n').trimEnd()}\n\n${section}`;
}

const [dir, ...flags] = process.argv.slice(2);
if (dir === undefined) {
  process.stderr.write('Name the folder of slides: npm run long:overlap -- DIR [--seed N] [--print]\n');
  process.exitCode = 2;
} else {
  const seed = (flags.includes('--seed') ? flags[flags.indexOf('--seed') + 1] : undefined) ?? '1';
  if (!existsSync(dir)) spawnSync('/usr/bin/python3', [DRAWER, '--out', dir, '--seed', seed], { stdio: 'inherit' });
  const findings: Findings = { still: [], live: [], pairs: 0, falseJoins: 0, copies: 0, copiesKnown: 0 };
  const slides = slidesBelow(dir);
  for (const slide of slides) await measureSlide(slide.dir, slide.truth, findings);
  const section = sectionOf(findings, slides.length, seed);
  process.stdout.write(section);
  const wrong = failures(findings);
  process.stderr.write(wrong.map((line) => `${line}\n`).join(''));
  if (wrong.length > 0) process.exitCode = 1;
  if (!flags.includes('--print')) {
    const options = { ...(await resolveConfig(DOC)), filepath: DOC };
    writeFileSync(DOC, await format(withSection(readFileSync(DOC, 'utf8'), section), options));
  }
}
