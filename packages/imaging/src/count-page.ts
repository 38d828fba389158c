import { COUNTED_KINDS, type Detection, type Field, type PhotoCount, type Warning } from '@veligrid/model';
import { pageArea, type PageArea, type PageAreaOptions } from './area/page-area.js';
import { LEAST_COUNTED_SCORE, toDetection } from './detection.js';
import { eggFragments } from './egg-fragments.js';
import { findField } from './field/find-field.js';
import { chooseWorkingScale } from './find/choose-working-scale.js';
import type { Finder } from './find/finder.js';
import type { Found } from './found.js';
import type { CellKind, GridFit } from './grid/find-grid.js';
import { meanPitchesPerPx, pitchesPerPx } from './grid/grid-geometry.js';
import { distanceToLine } from './grid/squares.js';
import type { MeasuredObject, Scene } from './measure/measure-object.js';
import { measureObjects } from './measure/measure-objects.js';
import type { Page } from './photo/read-photo.js';
import type { Outline } from './raster.js';
import type { Refiner } from './refine/refiner.js';
import { rounded } from './rounded.js';
import { checkScaleBySizes } from './scale/check-scale-by-sizes.js';
import { chooseScale, type ChosenScale, type ScaleEvidence } from './scale/choose-scale.js';
import { scaleEvidence } from './scale/scale-evidence.js';
import type { SavedCalibration } from './scale/use-calibration.js';
import { stageObject, type MeasuredFind, type StagePage } from './stage/stage-object.js';
import type { Staging } from './stage/staging.js';
import { METHOD_NAME, METHOD_VERSION } from './version.js';

/** So many eggs or larvae show that a picture is none of a stage micrometer. */
const LARVAE_ON_SLIDE = 3;
const NO_MICROMETER: Warning = {
  code: 'ruler-not-calibrated',
  message:
    'A ruler is in sight that looks like a stage micrometer, but eggs or larvae lie beside it, so it may be the ' +
    "eyepiece's: it was not used. Calibrate it with veligrid calibrate, and count with --calibration.",
};

/** Running milliseconds by step. */
export interface Clock {
  since: number;
  readonly ms: Record<string, number>;
  /** Told of each step when it is done. */
  readonly onStep?: ((step: CountStep) => void) | undefined;
}

/** Steps of a count in their order. */
export type CountStep = 'read' | 'field' | 'lines' | 'find' | 'refine' | 'measure' | 'stage';

/** What counting one page needs beside the page. */
export interface PageJob {
  readonly photo: string;
  readonly finder: Finder;
  readonly refiner: Refiner;
  readonly staging: Staging;
  readonly cell: CellKind;
  /** Given scale in micrometres per pixel, or null. */
  readonly scaleUmPerPx: number | null;
  /** Saved calibration, or null. */
  readonly calibration: SavedCalibration | null;
  /** How the counted area is chosen. */
  readonly area: PageAreaOptions;
  readonly clock: Clock;
}

/** Ends a step of the clock. */
export function tick(clock: Clock, step: CountStep): void {
  const now = performance.now();
  clock.ms[step] = rounded(now - clock.since, 1);
  clock.since = now;
  clock.onStep?.(step);
}

/** Finds put on the rim at full scale; what is not a larva keeps the finder's outline. */
async function outlinesOf(found: readonly Found[], page: Page, refiner: Refiner): Promise<Outline[]> {
  const larvae = found.filter(({ kind }) => COUNTED_KINDS.includes(kind));
  const refined = await refiner.refine(
    page.raster,
    larvae.map(({ outline }) => outline),
  );
  const byFound = new Map(larvae.map((one, k) => [one, refined[k]]));
  return found.map((one) => byFound.get(one) ?? one.outline);
}

function sceneOf(page: Page, field: Field, scale: PhotoCount['scale'], grid: GridFit | null): Scene {
  const { raster } = page;
  if (grid === null) return { raster, field, scale, distanceToLine: null };
  const mean = meanPitchesPerPx(grid.geometry, raster.width, raster.height);
  return {
    raster,
    field,
    scale,
    localScale: (x, y) => pitchesPerPx(grid.geometry, x, y) / mean,
    distanceToLine: (x, y) => distanceToLine(grid, x, y) - grid.lineHalfWidthPx,
  };
}

/** Stages and publishes one find after the other: what only judging needs of thousands of larvae is never held at once. */
function detectionsOf(
  finds: readonly MeasuredFind[],
  { staging }: PageJob,
  { seen, area }: { readonly seen: StagePage; readonly area: PageArea },
): Detection[] {
  return finds.map((find, k) => {
    const staged = stageObject(find, staging, seen);
    const { x, y, flags } = find.measured;
    const place = area.placeOf(x, y, find.outline, flags.includes('cut'));
    return toDetection({ ...staged, id: String(k + 1), place });
  });
}

/** An egg, embryo or larva, sure enough to be counted unless it is cut. */
const isLarva = ({ kind, score }: Found): boolean => COUNTED_KINDS.includes(kind) && score >= LEAST_COUNTED_SCORE;

function sizeWarnings(
  scale: PhotoCount['scale'],
  found: readonly Found[],
  measured: readonly MeasuredObject[],
): Warning[] {
  const diameters = measured
    .filter((_, k) => isLarva(found[k]))
    .map(({ equivalentDiameterPx }) => equivalentDiameterPx);
  const warning = checkScaleBySizes(scale, diameters);
  return warning === null ? [] : [warning];
}

interface FoundAtScale extends ChosenScale {
  readonly found: Found[];
}

/** Chooses the scale and finds at it; larvae beside what was taken for a stage micrometer show that it was none. */
async function findAtScale(
  { raster }: Page,
  field: Field,
  { evidence, finder }: { readonly evidence: ScaleEvidence; readonly finder: Finder },
): Promise<FoundAtScale> {
  const find = async (chosen: ChosenScale): Promise<FoundAtScale> => {
    const workingUm = chosen.scale.umPerPx ?? (await chooseWorkingScale(finder, raster, field));
    return { ...chosen, found: await finder.find(raster, field, workingUm) };
  };
  const first = await find(chooseScale(evidence));
  if (first.scale.source !== 'stage-micrometer' || first.found.filter(isLarva).length < LARVAE_ON_SLIDE) return first;
  const { scale, warnings } = chooseScale({ ...evidence, ruler: null });
  return find({ scale, warnings: [NO_MICROMETER, ...warnings] });
}

/** The whole chain for one page: field, lines and scale, finds, outlines, measures. */
export async function countPage(page: Page, job: PageJob): Promise<PhotoCount> {
  const { clock, finder } = job;
  const { raster } = page;
  const field = findField(raster);
  tick(clock, 'field');
  const { grid, evidence } = scaleEvidence(page, field, job);
  tick(clock, 'lines');
  const { found, scale, warnings } = await findAtScale(page, field, { evidence, finder });
  tick(clock, 'find');
  const outlines = await outlinesOf(found, page, job.refiner);
  tick(clock, 'refine');
  const objects = found.map(({ kind, hingeAxisRad }, k) => ({ outline: outlines[k], kind, hingeAxisRad }));
  const scene = sceneOf(page, field, scale, grid);
  const measured = measureObjects(objects, scene);
  const doubts = sizeWarnings(scale, found, measured);
  // a mere hint, or a scale at which nothing is of a possible size, must not cost a find
  const isSure = scale.source !== 'exif' && doubts.length === 0;
  const umPerPx = isSure ? scale.umPerPx : null;
  const fragment = eggFragments(found, measured, umPerPx);
  const judged = found.map((one, k): Found => (fragment[k] ? { ...one, kind: 'debris' } : one));
  const larvae = measured.map(({ x, y }, k) => ({ x, y, outline: outlines[k] })).filter((_, k) => isLarva(judged[k]));
  const area = pageArea(scene, grid, larvae, job.area);
  tick(clock, 'measure');
  const finds = judged.map((one, k) => ({ found: one, outline: outlines[k], measured: measured[k] }));
  const seen = { raster, umPerPx, ground: field.ground, isLarva };
  const detections = detectionsOf(finds, job, { seen, area });
  tick(clock, 'stage');
  return {
    photo: page.pages > 1 ? `${job.photo}, page ${String(page.page)}` : job.photo,
    widthPx: raster.width,
    heightPx: raster.height,
    method: {
      name: METHOD_NAME,
      version: METHOD_VERSION,
      finderVersion: finder.version,
      rulesVersion: job.staging.rulesVersion,
    },
    sample: job.staging.sample,
    scale,
    field,
    grid:
      grid === null
        ? null
        : { pitchUm: grid.pitchUm, rotationDeg: rounded(grid.rotationDeg, 4), squares: grid.squares },
    counting: area.counting,
    detections,
    warnings: [...page.warnings, ...warnings, ...doubts, ...job.staging.warnings],
  };
}
