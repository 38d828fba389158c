import { calibratePhoto, setDecodeThreads } from '@veligrid/imaging';
import { VeligridError } from '@veligrid/model';
import { answerTasks } from './answer-tasks.js';
import type { LinesAnswer, LinesTask } from './lines-task.js';

setDecodeThreads(1);

// finds lines on one picture; somebody waits for it, so it keeps its priority
answerTasks(async (task): Promise<LinesAnswer> => {
  const { path, target, maxPixels } = task as LinesTask;
  try {
    return { kind: 'measured', calibration: await calibratePhoto(path, target, { maxPixels }) };
  } catch (error) {
    if (error instanceof VeligridError) return { kind: 'refused', reason: error.message };
    throw error;
  }
});
