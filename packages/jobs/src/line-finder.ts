import type { CalibrationTarget, NoCalibration, PhotoCalibration } from '@veligrid/imaging';
import { VeligridError } from '@veligrid/model';
import { Tinypool } from 'tinypool';
import type { LinesAnswer, LinesTask } from './lines-task.js';

/** Finds the lines of something of known size on a picture, on a thread of its own. */
export interface LineFinder {
  /** @throws VeligridError `unreadable-photo` or `bad-argument` */
  find(path: string, target: CalibrationTarget): Promise<PhotoCalibration | NoCalibration>;
  /** Ends the thread; what it is at is given up. */
  stop(): Promise<void>;
}

/** How long the thread waits for another picture before it ends, and its memory with it. */
const IDLE_MS = 60_000;

/** A finder of lines; its thread begins with the first picture. @param maxPixels of the largest picture */
export function createLineFinder(maxPixels: number): LineFinder {
  const pool = new Tinypool({
    filename: new URL('./lines-worker.js', import.meta.url).href,
    minThreads: 0,
    maxThreads: 1,
    concurrentTasksPerWorker: 1,
    idleTimeout: IDLE_MS,
  });
  return {
    async find(path, target) {
      const answer = (await pool.run({ path, target, maxPixels } satisfies LinesTask)) as LinesAnswer;
      if (answer.kind === 'refused') throw new VeligridError('unreadable-photo', answer.reason);
      return answer.calibration;
    },
    stop: () => pool.destroy(),
  };
}
