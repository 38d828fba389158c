import type { CountOptions, CountStep } from '@veligrid/imaging';
import { VeligridError, type PhotoCount } from '@veligrid/model';
import type { CountAnswer, CountTask } from './count-task.js';

/** Counts one page of one photo. */
export async function answerTask(
  { path, page, options, steps }: CountTask,
  countPhoto: (path: string, options: CountOptions) => Promise<readonly PhotoCount[]>,
): Promise<CountAnswer> {
  try {
    const onStep =
      steps === undefined
        ? {}
        : {
            onStep: (step: CountStep) => {
              steps.postMessage(step);
            },
          };
    const counts = await countPhoto(path, { ...options, ...onStep });
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
}
