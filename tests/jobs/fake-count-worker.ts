import { readFile } from 'node:fs/promises';
import { setTimeout } from 'node:timers/promises';
import { threadId } from 'node:worker_threads';
import { VeligridError } from '@veligrid/model';
import { answerTask } from '../../packages/jobs/src/answer-task.js';
import type { CountAnswer, CountTask } from '../../packages/jobs/src/count-task.js';
import { lowerPriority } from '../../packages/jobs/src/lower-priority.js';
import { noQuietExit } from '../../packages/jobs/src/no-quiet-exit.js';
import { countOf } from '../storage/count-example.js';

noQuietExit();
lowerPriority();

// Counts without a finder, by the name of the photo: `exit` and `throw` stop the thread, `bad` can't be read, `slow` takes
// its time, `find` tells a step before it does, `for ever` never ends. The rules version tells which thread counted.
export default (task: CountTask): Promise<CountAnswer> =>
  answerTask(task, async (path, { name = '', scaleUmPerPx, calibration, onStep }) => {
    await readFile(path);
    if (name.includes('exit')) process.exit(9);
    if (name.includes('throw')) throw new RangeError('Array buffer allocation failed');
    if (name.includes('bad')) throw new VeligridError('unreadable-photo', `${name} is no photo. Save it as JPEG.`);
    if (name.includes('slow')) await setTimeout(700);
    if (name.includes('find')) {
      onStep?.('find');
      await setTimeout(700);
    }
    if (name.includes('for ever')) for (;;) Math.random();
    const count = countOf(name);
    const scale =
      calibration === undefined
        ? { ...count.scale, umPerPx: scaleUmPerPx ?? null }
        : { ...count.scale, umPerPx: calibration.umPerPx, source: 'calibration' as const };
    return [{ ...count, scale, method: { ...count.method, rulesVersion: `thread ${threadId}` } }];
  });
