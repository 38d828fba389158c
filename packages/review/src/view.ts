import type { PhotoCount } from '@veligrid/model';
import { applyDecision } from './apply.js';
import type { Decision } from './decision.js';
import { checkLog, standing } from './history.js';
import { foundObjects } from './objects.js';
import type { ReviewedPhoto } from './reviewed.js';

/**
 * What a person sees: found objects with all standing decisions applied in order. The found ones are not changed. Until
 * somebody chooses squares, those that the count is of are chosen.
 *
 * @throws VeligridError `bad-argument` when a decision names a photo, object or square that is not there
 */
export function viewOf(photos: readonly PhotoCount[], log: readonly Decision[]): ReviewedPhoto[] {
  checkLog(log);
  const start = photos.map((count): ReviewedPhoto => ({
    count,
    objects: foundObjects(count),
    squares: count.counting.shape.kind === 'squares' ? count.counting.shape.squares : null,
    rejected: null,
    notes: [],
  }));
  return standing(log).reduce(applyDecision, start);
}
