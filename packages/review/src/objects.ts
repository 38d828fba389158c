import type { Detection, PhotoCount, Stage } from '@veligrid/model';
import type { DrawnObject, DrawnOutline } from './decision.js';
import { isInside, outlineMeasures } from './outline.js';
import type { ReviewedObject } from './reviewed.js';

/** Stages that are no egg, embryo or larva. */
const NO_ANIMALS: readonly Stage[] = ['debris', 'bubble', 'fibre', 'ciliate', 'alga'];

/** Whether a stage belongs to an egg, embryo or larva, alive or dead; `unsure` does until staff say otherwise. */
export const isAnimal = (stage: Stage): boolean => !NO_ANIMALS.includes(stage);

const UNMEASURABLE: readonly string[] = ['cut', 'edge-on', 'out-of-focus'];

const asFound = (found: Detection): ReviewedObject => ({
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
  counted: found.counted,
  decisions: [],
});

/** Found objects before any decision. */
export const foundObjects = ({ detections }: PhotoCount): ReviewedObject[] => detections.map(asFound);

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
export const drawnObject = (
  { id, outline, stage }: DrawnObject,
  count: PhotoCount,
  decision: string,
): ReviewedObject => ({
  id,
  ...measuredAnew(outline, count),
  stage,
  form: 'not-judged',
  counted: isAnimal(stage),
  decisions: [decision],
});
