import type { CalibrationTarget, NoCalibration, PhotoCalibration } from '@veligrid/imaging';
import { VeligridError } from '@veligrid/model';
import type { LinesAnswer, LinesTask } from './lines-task.js';
import { Processes } from './processes.js';

/** Finds the lines of something of known size on a picture, in a process of its own. */
export interface LineFinder {
  /** @throws VeligridError `unreadable-photo` or `bad-argument` */
  find(path: string, target: CalibrationTarget): Promise<PhotoCalibration | NoCalibration>;
  /** Ends the process; what it is at is given up. */
  stop(): void;
}

const IDLE_MS = 60_000;
const MOST_MS = 180_000;

/** A finder of lines; its process begins with the first picture. @param maxPixels of the largest picture */
export function createLineFinder(maxPixels: number): LineFinder {
  const file = new URL('./lines-process.js', import.meta.url);
  const processes = new Processes<LinesTask, LinesAnswer>(file, { atATime: 1, idleMs: IDLE_MS, mostMs: MOST_MS });
  return {
    async find(path, target) {
      const answered = await processes.run({ path, target, maxPixels });
      if ('none' in answered) {
        if (answered.none === 'fault') throw new Error(answered.why);
        const message =
          'The lines could not be looked for: the picture was too much. Take a smaller one, or a part of it.';
        throw new VeligridError('unreadable-photo', message);
      }
      const { answer } = answered;
      if (answer.kind === 'refused') throw new VeligridError('unreadable-photo', answer.reason);
      return answer.calibration;
    },
    stop: () => {
      processes.stop();
    },
  };
}
