/** Larvae of drawn slides with their true stages, for training and measuring stage rules. */
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { countPhoto, type Labelled } from '@veligrid/imaging';
import { COUNTED_KINDS, type PhotoCount, type Stage } from '@veligrid/model';
import { matchPhoto } from '../apps/cli/src/score/match.js';
import { readPrediction } from '../apps/cli/src/score/read-prediction.js';
import { readTruth, type TrueObject } from '../apps/cli/src/score/read-truth.js';
import { stageNamed } from '../apps/cli/src/score/stage-agreement.js';

/** How slides are counted. */
export interface SlideOptions {
  /** Folder in which counts are kept and looked for. */
  readonly counts: string;
  /** Given scale over the true one: makes a population look larger or smaller. Default 1. */
  readonly scaleFactor?: number;
  /** Finds less likely than this are left out. Default 0.5. */
  readonly leastScore?: number;
}

async function countOf(photo: string, umPerPx: number, kept: string): Promise<PhotoCount> {
  if (existsSync(kept)) return JSON.parse(readFileSync(kept, 'utf8')) as PhotoCount;
  const [count] = await countPhoto(photo, { scaleUmPerPx: umPerPx });
  if (count === undefined) throw new Error(`${photo} gave no count`);
  mkdirSync(dirname(kept), { recursive: true });
  writeFileSync(kept, JSON.stringify(count));
  return count;
}

/** A count in which every find that looks like a larva and is likely enough counts, whatever its stage. */
function withFinds(count: PhotoCount, leastScore: number): PhotoCount {
  const detections = count.detections.map((one) => ({
    ...one,
    stage: 'unsure' as const,
    counted:
      COUNTED_KINDS.includes(one.kind) &&
      !one.flags.includes('cut') &&
      (one.features['finder_score'] ?? 0) >= leastScore,
  }));
  return { ...count, detections };
}

/** Names of the slides below a folder, sorted. */
export function slidesIn(folder: string): string[] {
  return readdirSync(folder, { recursive: true })
    .map(String)
    .filter((name) => name.endsWith('.jpg'))
    .sort();
}

/** Umbo larvae of this length and more are a class of their own: an umbo larva grows to twice its size, others by a third. */
const LATE_UMBO_UM = 225;

function className({ stage, lengthUm }: Pick<TrueObject, 'stage' | 'lengthUm'>): string {
  const late = stage === 'umbo' && lengthUm !== null && lengthUm >= LATE_UMBO_UM;
  return late ? 'late-umbo' : stage.replaceAll('_', '-');
}

const classOf = (stage: string): Stage => stageNamed(stage) ?? 'unsure';

/** Larvae found on a slide with their features and true classes, and false finds as `debris`. */
export async function larvaeOf(folder: string, slide: string, options: SlideOptions): Promise<Labelled[]> {
  const { counts, scaleFactor = 1, leastScore = 0.5 } = options;
  const truth = readTruth(JSON.parse(readFileSync(join(folder, slide.replace(/\.jpg$/, '.json')), 'utf8')));
  if (truth === null || truth.umPerPx === null) throw new Error(`${slide} has no truth with a scale`);
  const kept = join(counts, basename(folder), slide.replace(/\.jpg$/, '.json'));
  const count = await countOf(join(folder, slide), truth.umPerPx * scaleFactor, kept);
  const prediction = readPrediction(withFinds(count, leastScore));
  if (prediction === null) throw new Error(`${kept} is no count file`);
  const features = new Map(count.detections.map((one) => [one.id, one.features]));
  const { pairs, falseFinds } = matchPhoto(truth, prediction);
  const own = { slide: `${basename(folder)}/${slide}` };
  return [
    ...pairs.map(({ truth: object, found }) => ({
      ...own,
      name: className(object),
      stage: classOf(object.stage),
      values: features.get(found.id) ?? {},
    })),
    ...falseFinds.map(({ id }) => ({
      ...own,
      name: 'false-find',
      stage: 'debris' as const,
      values: features.get(id) ?? {},
    })),
  ];
}
