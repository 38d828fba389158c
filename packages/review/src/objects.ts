import type { Detection, PhotoCount, Stage } from '@veligrid/model';
import type { DrawnObject, DrawnOutline } from './decision.js';
import { isInside, outlineMeasures } from './outline.js';
import type { ReviewedObject } from './reviewed.js';

/** Stages that are no egg, embryo or larva. */
const NO_ANIMALS: readonly Stage[] = ['debris', 'bubble', 'fibre', 'ciliate', 'alga'];

/** Whether a stage belongs to an egg, embryo or larva, alive or dead; `unsure` does until staff say otherwise. */
export const isAnimal = (stage: Stage): boolean => !NO_ANIMALS.includes(stage);

const UNMEASURABLE: readonly string[] = ['cut', 'edge-on', 'out-of-focus'];

/** Whether a point lies in the counted field; always where squares are counted, as these are chosen apart. */
function inCountedField([x, y]: readonly [number, number], { shape }: PhotoCount['counting']): boolean {
  if (shape.kind === 'squares') return true;
  const [left, top, right, bottom] = shape.boxPx;
  if (x < left || y < top || x > right || y > bottom) return false;
  const { circle } = shape;
  return circle === undefined || Math.hypot(x - circle.centrePx[0], y - circle.centrePx[1]) <= circle.radiusPx;
}

/** Whether a found object can't be counted whatever it is: cut, or outside the counted field. */
export const isOutside = ({ flags, inArea }: Detection, { shape }: PhotoCount['counting']): boolean =>
  flags.includes('cut') || (shape.kind === 'field' && !inArea);

const asFound = (found: Detection, { counting }: PhotoCount): ReviewedObject => ({
  id: found.id,
  x: found.x,
  y: found.y,
  outline: found.outline,
  stage: found.stage,
  form: found.form ?? 'not-judged',
  square: found.square,
  lengthUm: found.lengthUm,
  heightUm: found.heightUm,
  measurable: !found.flags.some((flag) => UNMEASURABLE.includes(flag)),
  counted: found.counted && !isOutside(found, counting),
  decisions: [],
});

/** Found objects before any decision. */
export const foundObjects = (count: PhotoCount): ReviewedObject[] =>
  count.detections.map((found) => asFound(found, count));

/** The part of an object that follows from its outline. */
export function measuredAnew(
  outline: DrawnOutline,
  { scale, grid }: PhotoCount,
): Pick<ReviewedObject, 'x' | 'y' | 'outline' | 'square' | 'lengthUm' | 'heightUm' | 'measurable'> {
  const { x, y, lengthPx, heightPx } = outlineMeasures(outline);
  const um = (px: number): number | null => (scale.umPerPx === null ? null : px * scale.umPerPx);
  const square = grid?.squares.find(({ cornersPx }) => isInside([x, y], cornersPx))?.name ?? null;
  return { x, y, outline, square, lengthUm: um(lengthPx), heightUm: um(heightPx), measurable: true };
}

/** A new object from what a person drew. */
export function drawnObject({ id, outline, stage }: DrawnObject, count: PhotoCount, decision: string): ReviewedObject {
  const measured = measuredAnew(outline, count);
  return {
    id,
    ...measured,
    stage,
    form: 'not-judged',
    counted: isAnimal(stage) && inCountedField([measured.x, measured.y], count.counting),
    decisions: [decision],
  };
}
