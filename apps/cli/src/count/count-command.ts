import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import type { CountOptions, StagingOptions } from '@veligrid/imaging';
import { VeligridError, type SampleNotes } from '@veligrid/model';
import { built } from '../built.js';
import { readCalibration } from '../calibrate/read-calibration.js';
import type { Console } from '../console.js';
import { fieldOfPhoto, NAMING, readPlan, type PlannedField } from '../fields/read-plan.js';
import { EXIT, worstOf } from '../exit-codes.js';
import { progressBar } from '../progress.js';
import { readStaging } from '../stages/read-staging.js';
import { collectPhotos, type Collected } from './collect-photos.js';
import type { CountJob, CountResult, PageSummary } from './count-file.js';
import { countOnWorkers } from './count-pool.js';
import { countOneFilling } from './count-one-filling.js';
import { countTable } from './count-table.js';
import { csvHeading } from './detections-csv.js';
import { fillingText } from './filling-summary.js';
import { outputNames } from './output-names.js';
import { prepareFolder, writeResult } from './write-result.js';

/** Arguments of `veligrid count`. */
export interface CountArguments {
  readonly inputs: readonly string[];
  readonly out: string;
  readonly scale?: number;
  /** Name or file of a calibration. */
  readonly calibration?: string;
  readonly calibrationFolder?: string;
  readonly cell?: CountOptions['cell'];
  readonly rule?: CountOptions['rule'];
  readonly area?: CountOptions['area'];
  /** All photos show parts of one filling: what several of them show is counted once. */
  readonly oneFilling?: boolean;
  /** Plan of drawn fields. */
  readonly fields?: string;
  /** File of stage rules. */
  readonly rules?: string;
  readonly species?: string;
  readonly ageHours?: number;
  readonly sample?: SampleNotes['kind'];
  readonly fixative?: string;
  readonly buffered?: boolean;
  readonly overlay?: boolean;
  readonly csv?: boolean;
  readonly threads?: number;
  readonly timing?: boolean;
}

const CSV_NAME = 'detections.csv';
const FILLING_NAME = 'one-filling.json';

/** What was read from the files that the arguments name. */
interface Given {
  readonly plan: readonly PlannedField[];
  readonly staging: StagingOptions;
  readonly calibration: CountOptions['calibration'];
}

async function readGiven(args: CountArguments): Promise<Given> {
  const { fields, calibration, calibrationFolder, scale } = args;
  if (calibration !== undefined && scale !== undefined) {
    throw new VeligridError('bad-argument', 'Give --scale or --calibration, not both.');
  }
  return {
    plan: fields === undefined ? [] : await readPlan(fields),
    staging: await readStaging(args),
    calibration: calibration === undefined ? undefined : await readCalibration(calibration, calibrationFolder),
  };
}

function jobsOf(collected: Collected, args: CountArguments, { plan, staging, calibration }: Given): CountJob[] {
  const names = outputNames(collected.photos);
  const { out, scale, cell, rule, area, overlay = false, csv = false, timing = false } = args;
  const jobs = collected.photos.map(({ path, name }, i) => ({
    path,
    name,
    output: names[i] ?? name,
    outFolder: out,
    overlay,
    csv,
    options: {
      timing,
      staging,
      ...(scale === undefined ? {} : { scaleUmPerPx: scale }),
      ...(calibration === undefined ? {} : { calibration }),
      ...(cell === undefined ? {} : { cell }),
      ...(rule === undefined ? {} : { rule }),
      ...(area === undefined ? {} : { area }),
    },
  }));
  return jobs.map((job): CountJob => {
    const drawnField = fieldOfPhoto(plan, job.name);
    return drawnField === null ? job : { ...job, options: { ...job.options, drawnField } };
  });
}

/** Says which drawn fields have no photo: leaving some out is choosing again. */
function tellMissing(console: Console, plan: readonly PlannedField[], jobs: readonly CountJob[]): void {
  const seen = new Set(jobs.map(({ options }) => options.drawnField));
  const missing = plan.filter(({ number }) => !seen.has(number)).map(({ number }) => number);
  if (missing.length === 0) return;
  console.err(
    `No photo of the drawn fields ${missing.join(', ')}. Photograph them too: fields left out make the others a choice. ${NAMING}\n`,
  );
}

function tellResults(console: Console, summaries: readonly PageSummary[], args: CountArguments): void {
  console.out(countTable(summaries));
  if (summaries.length === 0) return;
  console.out(`\nCounts: ${join(args.out, '*.json')}\n`);
  if (args.csv === true) console.out(`Every object in one table: ${join(args.out, CSV_NAME)}\n`);
  if (args.overlay === true) console.out(`Overlay pictures to check by eye: ${join(args.out, '*.overlay.jpg')}\n`);
}

function tellFailures(console: Console, collected: Collected, results: readonly CountResult[]): number {
  const codes: number[] = [];
  for (const { path, reason } of collected.unopened) {
    console.err(`${path} ${reason}\n`);
    codes.push(EXIT.unreadablePhoto);
  }
  for (const result of results) {
    if (result.kind !== 'failed') continue;
    console.err(`${result.message}\n`);
    codes.push(result.exitCode);
  }
  return worstOf(codes);
}

function nothingToCount({ unopened }: Collected, { inputs }: CountArguments): VeligridError {
  const whys = unopened.map(({ path, reason }) => `${path} ${reason}`);
  const none = `No photo found in ${inputs.join(', ')}. Name photos, or folders with JPEG, PNG, TIFF, WebP or BMP photos.`;
  return new VeligridError('bad-argument', whys.length > 0 ? whys.join('\n') : none);
}

/**
 * Counts photos and folders of photos: one count file per page below the folder of results, overlays and a CSV when
 * wanted, a table on the console.
 *
 * @param args checked arguments
 * @param console where to write
 * @param worker module that counts one job; default the program's own
 * @returns exit code: 0, or 3 when a photo could not be read, 5 when a result could not be written, 1 for our own fault
 * @throws VeligridError when there is nothing to count (2) or no place for the results (5)
 */
export async function countCommand(
  args: CountArguments,
  console: Console,
  worker: URL = built('count/count-worker.js'),
): Promise<number> {
  const collected = await collectPhotos(args.inputs, args.out);
  if (collected.photos.length === 0) throw nothingToCount(collected, args);
  const given = await readGiven(args);
  await prepareFolder(args.out);
  const jobs = jobsOf(collected, args, given);
  tellMissing(console, given.plan, jobs);
  const threads = Math.min(jobs.length, args.threads ?? availableParallelism());
  const progress = progressBar(console, jobs.length, () => performance.now());
  const pool = { threads, worker, onDone: progress.step };
  const { results, filling } =
    args.oneFilling === true
      ? await countOneFilling(jobs, pool)
      : { results: await countOnWorkers(jobs, pool), filling: null };
  progress.end();
  const summaries = results.flatMap((result) => (result.kind === 'done' ? result.pages : []));
  if (args.csv === true) {
    await writeResult(join(args.out, CSV_NAME), csvHeading() + summaries.map(({ csv }) => csv).join(''));
  }
  tellResults(console, summaries, args);
  if (filling !== null) {
    await writeResult(join(args.out, FILLING_NAME), `${JSON.stringify(filling, null, 2)}\n`);
    console.out(`\n${fillingText(filling)}One filling: ${join(args.out, FILLING_NAME)}\n`);
  }
  return tellFailures(console, collected, results);
}
