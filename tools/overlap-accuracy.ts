/**
 * Joins photos cut from large drawn slides and writes the section "Photos of one filling" of docs/accuracy.md. Ends with 1
 * when the limits that are stated there do not hold.
 *
 *   npm run long:overlap -- DIR [--seed N] [--apart N] [--print]
 *
 * DIR holds slides as packages/imaging/training/drawer/filling.py draws them; when it does not exist they are drawn first, with
 * that seed. What a slide gave is kept in its folder as findings.json and not measured again: delete it to do so. --apart takes
 * fewer photos of different places from each slide (each is compared with each). With --print nothing is written to docs/.
 */
import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { countPhoto, joinPhotos, photoView, readPhoto, type ViewedCount } from '@veligrid/imaging';
import { format, resolveConfig } from 'prettier';
import sharp from 'sharp';
import { setResult, type SetResult } from './overlap/set-result.js';
import { slidesBelow, type Slide, type SlideTruth } from './overlap/slide-truth.js';
import { withSection } from './with-section.js';

const DOC = 'docs/accuracy.md';
const HEADING = '## Photos of one filling';
const DRAWER = 'packages/imaging/training/drawer/filling.py';
/** Most error of the count of each kind of set, per cent, and fewest pairs of different places. */
const MOST_ERROR = 1;
const LEAST_PAIRS = 100;

/** What one slide gave; kept beside it, so that a run that was stopped goes on where it was. */
interface SlideFindings {
  readonly sets: readonly SetResult[];
  /** Pairs of photos of different places, and those joined. */
  readonly pairs: number;
  readonly falseJoins: number;
  /** Photos laid beside a copy stored anew, and those recognised. */
  readonly copies: number;
  readonly copiesKnown: number;
}

interface Findings extends Omit<SlideFindings, 'sets'> {
  readonly still: readonly SetResult[];
  readonly live: readonly SetResult[];
}

async function viewed(photo: Buffer, name: string, scaleUmPerPx: number): Promise<ViewedCount> {
  const [count] = await countPhoto(photo, { name, scaleUmPerPx });
  for await (const { raster } of readPhoto(photo)) {
    if (count !== undefined) return { count, view: photoView(raster, scaleUmPerPx) };
  }
  throw new Error(`${name} holds no picture`);
}

async function measureSlide(dir: string, truth: SlideTruth, apartPhotos: number): Promise<SlideFindings> {
  const taken = (name: string): Promise<ViewedCount> =>
    viewed(readFileSync(join(dir, truth.photos[name]?.image ?? '')), name, truth.um_per_px);
  const sets = await inTurn(truth.sets, async (set) => {
    const photos = await inTurn(set.photos, taken);
    const result = setResult(set, truth, { before: photos.map(({ count }) => count), joined: joinPhotos(photos) });
    process.stderr.write(`${truth.name} ${JSON.stringify(result)}\n`);
    return result;
  });
  const apart = await inTurn(truth.apart.slice(0, apartPhotos), taken);
  const { overlaps } = joinPhotos(apart);
  const found = { sets, pairs: (apart.length * (apart.length - 1)) / 2, falseJoins: overlaps.length };
  const [first] = apart;
  if (first === undefined) return { ...found, copies: 0, copiesKnown: 0 };
  const stored = await sharp(join(dir, truth.photos[first.count.photo]?.image ?? ''))
    .jpeg({ quality: 70 })
    .toBuffer();
  const same = joinPhotos([first, await viewed(stored, 'stored anew', truth.um_per_px)]).overlaps;
  return { ...found, copies: 1, copiesKnown: same.filter(({ isUnmoved }) => isUnmoved).length };
}

async function findingsOf({ dir, truth }: Slide, apartPhotos: number): Promise<SlideFindings> {
  const kept = join(dir, 'findings.json');
  if (existsSync(kept)) return JSON.parse(readFileSync(kept, 'utf8')) as SlideFindings;
  const findings = await measureSlide(dir, truth, apartPhotos);
  writeFileSync(kept, JSON.stringify(findings));
  return findings;
}

function together(slides: readonly Slide[], each: readonly SlideFindings[]): Findings {
  const setsOf = (live: boolean): SetResult[] =>
    slides.flatMap(({ truth }, k) => (truth.swim > 0 === live ? (each[k]?.sets ?? []) : []));
  const total = (of: (one: SlideFindings) => number): number => each.reduce((all, one) => all + of(one), 0);
  return {
    still: setsOf(false),
    live: setsOf(true),
    pairs: total(({ pairs }) => pairs),
    falseJoins: total(({ falseJoins }) => falseJoins),
    copies: total(({ copies }) => copies),
    copiesKnown: total(({ copiesKnown }) => copiesKnown),
  };
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

const [dir, ...flags] = process.argv.slice(2);
if (dir === undefined) {
  process.stderr.write('Name the folder of slides: npm run long:overlap -- DIR [--seed N] [--apart N] [--print]\n');
  process.exitCode = 2;
} else {
  const valueOf = (flag: string): string | undefined =>
    flags.includes(flag) ? flags[flags.indexOf(flag) + 1] : undefined;
  const seed = valueOf('--seed') ?? '1';
  if (!existsSync(dir)) spawnSync('/usr/bin/python3', [DRAWER, '--out', dir, '--seed', seed], { stdio: 'inherit' });
  const slides = slidesBelow(dir);
  const apartPhotos = Number(valueOf('--apart') ?? Infinity);
  const findings = together(slides, await inTurn(slides, (slide) => findingsOf(slide, apartPhotos)));
  const section = sectionOf(findings, slides.length, seed);
  process.stdout.write(section);
  const wrong = failures(findings);
  process.stderr.write(wrong.map((line) => `${line}\n`).join(''));
  if (wrong.length > 0) process.exitCode = 1;
  if (!flags.includes('--print')) {
    const options = { ...(await resolveConfig(DOC)), filepath: DOC };
    writeFileSync(DOC, await format(withSection(readFileSync(DOC, 'utf8'), HEADING, section), options));
  }
}
