import type { LabelledCheck } from '@veligrid/imaging';
import type { Detection, PhotoCount } from '@veligrid/model';
import { viewOf, type ReviewedObject, type ReviewedPhoto } from '@veligrid/review';
import type { House } from '../house.js';
import { auditOf } from '../review/audit-handlers.js';
import { countsOf, decisionOf, logOf } from '../review/counts.js';
import { readSample } from '../samples/read-sample.js';
import { standingSignOff } from '../samples/sample-answer.js';

/** Below this the program doubted; such larvae are shown first as needing a look. */
const DOUBTFUL = 0.6;

function checkOf(
  object: ReviewedObject,
  found: Detection | undefined,
  audited: ReadonlySet<string>,
): Omit<LabelledCheck, 'slide'> | null {
  // what was drawn by hand has no features, and `unsure` teaches nothing
  if (found === undefined || object.stage === 'unsure') return null;
  const { stage } = object;
  const values = found.features;
  if (object.square !== null && audited.has(object.square)) return { stage, values, how: 'audit' };
  if (stage === found.stage && object.decisions.length === 0) return null;
  return { stage, values, how: found.stage === 'unsure' || found.confidence < DOUBTFUL ? 'doubtful' : 'chosen' };
}

async function checksOfPhoto(house: House, count: PhotoCount, view: ReviewedPhoto): Promise<LabelledCheck[]> {
  const { squares } = await auditOf(house, count);
  const audited = new Set(squares.filter(({ tally }) => tally !== null).map(({ name }) => name));
  const found = new Map(count.detections.map((one) => [one.id, one]));
  return view.objects.flatMap((object) => {
    const check = checkOf(object, found.get(object.id), audited);
    return check === null ? [] : [{ ...check, slide: count.photo }];
  });
}

/** Larvae that staff checked, of signed-off counts of a species, with how many of them they corrected. */
export async function checkedLarvae(
  house: House,
  species: string,
): Promise<{ readonly checks: readonly LabelledCheck[]; readonly corrected: number }> {
  const checks: LabelledCheck[] = [];
  let corrected = 0;
  for (const sample of (await house.store.samples.list()).filter((one) => one.species === species)) {
    const of = await readSample(house, sample);
    if (standingSignOff(of.signOffs) === null) continue;
    const counted = of.photos.filter(({ count }) => count !== null);
    const counts = await countsOf(house, counted);
    const views = viewOf(counts, logOf(of.decisions.map(decisionOf), new Set(counted.map(({ id }) => id))));
    for (const view of views.filter(({ rejected }) => rejected === null)) {
      checks.push(...(await checksOfPhoto(house, view.count, view)));
      const stages = new Map(view.count.detections.map(({ id, stage }) => [id, stage]));
      corrected += view.objects.filter(({ id, stage }) => (stages.get(id) ?? stage) !== stage).length;
    }
  }
  return { checks, corrected };
}
