import { join } from 'node:path';
import type { CountOptions, Page, PhotoView, ReadPhotoOptions, ViewedCount } from '@veligrid/imaging';
import { STAGES, VeligridError, type Counting, type PhotoCount, type Scale, type Stage } from '@veligrid/model';
import type { Raster } from '@veligrid/imaging';
import { exitCodeOf } from '../exit-codes.js';
import { countJsonParts } from './count-json.js';
import { csvRows } from './detections-csv.js';
import { lengthFigures, type LengthFigures } from './length-figures.js';
import { pageName } from './output-names.js';
import { writeResult } from './write-result.js';

/** One photo to count; plain data, as it goes to a worker. */
export interface CountJob {
  readonly path: string;
  /** Name for results and messages. */
  readonly name: string;
  /** Name of its results below `outFolder`, without ending. */
  readonly output: string;
  readonly outFolder: string;
  readonly overlay: boolean;
  readonly csv: boolean;
  /** Gives the counts back with copies of the pictures instead of writing them: photos of one filling are joined first. */
  readonly joining?: boolean;
  /** Counts of the pages, when they are made already. */
  readonly counts?: readonly PhotoCount[];
  readonly options: Pick<
    CountOptions,
    'scaleUmPerPx' | 'calibration' | 'cell' | 'rule' | 'area' | 'drawnField' | 'staging' | 'timing'
  >;
}

/** What is told of one page. */
export interface PageSummary {
  readonly photo: string;
  /** From 1. */
  readonly page: number;
  readonly pages: number;
  readonly counted: number;
  /** Of the counted, those in the counted area. */
  readonly inArea: number;
  readonly counting: Counting;
  readonly figures: LengthFigures;
  readonly scale: Scale;
  /** Counted objects by stage. */
  readonly stages: Readonly<Partial<Record<Stage, number>>>;
  readonly warnings: PhotoCount['warnings'];
  /** Lines of the CSV, empty when none is wanted. */
  readonly csv: string;
}

/** What became of a photo; plain data, as it comes from a worker. */
export type CountResult =
  | { readonly kind: 'done'; readonly pages: readonly PageSummary[] }
  | { readonly kind: 'counted'; readonly views: readonly ViewedCount[] }
  | { readonly kind: 'failed'; readonly exitCode: number; readonly message: string };

/** What the imaging library does for this command. */
export interface Imaging {
  readonly countPhoto: (source: string, options: CountOptions) => Promise<PhotoCount[]>;
  readonly readPhoto: (source: string, options: ReadPhotoOptions) => AsyncGenerator<Page, void, undefined>;
  readonly photoView: (raster: Raster, umPerPx: number | null) => Promise<PhotoView>;
  readonly renderOverlay: (raster: Raster, count: PhotoCount) => Promise<Buffer>;
}

function stagesOf(count: PhotoCount): Partial<Record<Stage, number>> {
  const counted = count.detections.filter((one) => one.counted);
  return Object.fromEntries(
    STAGES.map((stage) => [stage, counted.filter((one) => one.stage === stage).length] as const).filter(
      ([, n]) => n > 0,
    ),
  );
}

function summarise(count: PhotoCount, page: number, pages: number, csv: boolean): PageSummary {
  return {
    photo: count.photo,
    page,
    pages,
    counted: count.detections.filter((one) => one.counted).length,
    inArea: count.detections.filter((one) => one.counted && one.inArea).length,
    counting: count.counting,
    figures: lengthFigures(count),
    scale: count.scale,
    stages: stagesOf(count),
    warnings: count.warnings,
    csv: csv ? csvRows(count, page) : '',
  };
}

async function viewsOf(job: CountJob, counts: readonly PhotoCount[], imaging: Imaging): Promise<ViewedCount[]> {
  const views: ViewedCount[] = [];
  for await (const { raster, page } of imaging.readPhoto(job.path, { name: job.name })) {
    const count = counts[page - 1];
    if (count === undefined) throw new Error(`${job.name} has more pages than counts`);
    views.push({ count, view: await imaging.photoView(raster, count.scale.umPerPx) });
  }
  return views;
}

async function writeOverlays(job: CountJob, counts: readonly PhotoCount[], imaging: Imaging): Promise<void> {
  for await (const { raster, page, pages } of imaging.readPhoto(job.path, { name: job.name })) {
    const count = counts[page - 1];
    if (count === undefined) throw new Error(`${job.name} has more pages than counts`);
    const path = join(job.outFolder, `${pageName(job.output, page, pages)}.overlay.jpg`);
    await writeResult(path, await imaging.renderOverlay(raster, count));
  }
}

/**
 * Counts one photo and writes its results. Never throws: what goes wrong with one photo is told and costs no other.
 */
export async function countFile(job: CountJob, imaging: Imaging): Promise<CountResult> {
  try {
    const counts = job.counts ?? (await imaging.countPhoto(job.path, { ...job.options, name: job.name }));
    if (job.joining === true) return { kind: 'counted', views: await viewsOf(job, counts, imaging) };
    for (const [index, count] of counts.entries()) {
      const path = join(job.outFolder, `${pageName(job.output, index + 1, counts.length)}.json`);
      await writeResult(path, countJsonParts(count));
    }
    if (job.overlay) await writeOverlays(job, counts, imaging);
    return { kind: 'done', pages: counts.map((count, i) => summarise(count, i + 1, counts.length, job.csv)) };
  } catch (error) {
    const told = error instanceof VeligridError;
    const message = told ? error.message : `${job.name} met a fault of Veligrid: ${String(error)}`;
    return { kind: 'failed', exitCode: exitCodeOf(error), message };
  }
}
