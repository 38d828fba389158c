import { calibratePhoto, setDecodeThreads } from '@veligrid/imaging';
import { VeligridError } from '@veligrid/model';
import type { LinesAnswer, LinesTask } from './lines-task.js';
import { noQuietExit } from './no-quiet-exit.js';

noQuietExit();
setDecodeThreads(1);

/** Finds lines on one picture on this worker thread; somebody waits for it, so it keeps its priority. */
export default async ({ path, target, maxPixels }: LinesTask): Promise<LinesAnswer> => {
  try {
    return { kind: 'measured', calibration: await calibratePhoto(path, target, { maxPixels }) };
  } catch (error) {
    if (error instanceof VeligridError) return { kind: 'refused', reason: error.message };
    throw error;
  }
};
