import { countPhoto, setDecodeThreads } from '@veligrid/imaging';
import { answerTask } from './answer-task.js';
import type { CountAnswer, CountTask } from './count-task.js';
import { lowerPriority } from './lower-priority.js';
import { noQuietExit } from './no-quiet-exit.js';

noQuietExit();
lowerPriority();
// the photos share the cores, not the decoders
setDecodeThreads(1);

/** Counts a photo on this worker thread, whose finder stays warm from one to the next. */
export default (task: CountTask): Promise<CountAnswer> => answerTask(task, countPhoto);
