import type { CountOptions, CountStep } from '@veligrid/imaging';
import { VeligridError, type PhotoCount } from '@veligrid/model';
import { answerTasks } from './answer-tasks.js';
import type { CountAnswer, CountTask } from './count-task.js';

/** Makes this process one that counts pages of photos, and tells each step as a note. */
export function answerCounts(
  countPhoto: (path: string, options: CountOptions) => Promise<readonly PhotoCount[]>,
): void {
  answerTasks(async (task, tell): Promise<CountAnswer> => {
    const { path, page, options } = task as CountTask;
    const onStep = (step: CountStep): void => {
      tell(step);
    };
    try {
      const counts = await countPhoto(path, { ...options, onStep });
      const count = counts[page - 1];
      if (count !== undefined) return { kind: 'counted', count };
      return {
        kind: 'refused',
        reason: `The file has ${counts.length} pages, not ${page}. Take the photo out of the sample.`,
      };
    } catch (error) {
      if (error instanceof VeligridError) return { kind: 'refused', reason: error.message };
      throw error;
    }
  });
}
