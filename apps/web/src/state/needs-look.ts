import type { Detection } from '@veligrid/model';
import { isAnimal, type ReviewedObject, type ReviewedPhoto } from '@veligrid/review';

/** Below this confidence a stage is shown for a look (0..1). A fifth wrong is where looking begins to pay. */
const SURE = 0.8;
/** What is no larva is shown when this much speaks for one. */
const MAYBE_LARVA = 0.2;

/** Probability of any egg, embryo or larva. */
const larvaChance = ({ stageProbabilities }: Detection): number =>
  Object.entries(stageProbabilities).reduce(
    (sum, [stage, p]) => sum + (isAnimal(stage as Detection['stage']) ? p : 0),
    0,
  );

/** Why an object wants a person's eye, as a word of words.json, or null when it does not. */
export type Reason = 'look.unsure' | 'look.low' | 'look.maybe-larva' | 'look.clump';

function doubt(found: Detection): Reason | null {
  if (found.stage === 'unsure') return 'look.unsure';
  if (!isAnimal(found.stage)) return larvaChance(found) >= MAYBE_LARVA ? 'look.maybe-larva' : null;
  if (found.confidence < SURE) return 'look.low';
  const clump = found.flags.includes('touching') && found.measures.solidity < 0.9;
  return clump ? 'look.clump' : null;
}

/**
 * Why an object needs a look. What lies outside the counted area or is cut by the field changes no figure and never
 * needs one; neither does what somebody has decided on, or drawn.
 */
export function reasonToLook(object: ReviewedObject, found: Detection | undefined): Reason | null {
  if (object.decisions.length > 0 || found === undefined) return null;
  return found.inArea && !found.flags.includes('cut') ? doubt(found) : null;
}

const known = new WeakMap<ReviewedPhoto, readonly string[]>();

/** Ids of all objects of a photo that need a look, from top left in rows as one reads. */
export function needingLook(photo: ReviewedPhoto): readonly string[] {
  const before = known.get(photo);
  if (before !== undefined) return before;
  const { count, objects } = photo;
  const found = new Map(count.detections.map((one) => [one.id, one]));
  const band = Math.max(1, count.heightPx / 8);
  const ids = objects
    .filter((object) => reasonToLook(object, found.get(object.id)) !== null)
    .sort((a, b) => Math.floor(a.y / band) - Math.floor(b.y / band) || a.x - b.x)
    .map(({ id }) => id);
  known.set(photo, ids);
  return ids;
}
