import { FLAGS } from '@veligrid/model';
import { measureObject, type MeasuredObject, type ObjectToMeasure, type Scene } from './measure-object.js';
import { touchingFlags } from './touching-flags.js';

/**
 * Measures all objects of a picture, see `measureObject`, and flags those that touch another one.
 *
 * @returns one entry an object, in the order given; flags in the order of the model's list
 */
export function measureObjects(objects: readonly ObjectToMeasure[], scene: Scene): MeasuredObject[] {
  const touching = touchingFlags(
    objects.map(({ outline }) => outline),
    scene.scale.umPerPx,
  );
  return objects.map((object, index) => {
    const measured = measureObject(object, scene);
    if (touching[index] === 0) return measured;
    const flags = new Set([...measured.flags, 'touching']);
    return { ...measured, flags: FLAGS.filter((flag) => flags.has(flag)) };
  });
}
