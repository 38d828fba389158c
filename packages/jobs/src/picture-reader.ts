import type { PhotoPage } from '@veligrid/imaging';
import { VeligridError } from '@veligrid/model';
import type { PictureAnswer, PictureTask } from './picture-task.js';
import { Processes } from './processes.js';

/** Reads pictures that people send, outside the server: a fault of a decoder ends that process and nothing else. */
export interface PictureReader {
  /** Pages with their sizes. @throws VeligridError `unreadable-photo` */
  inspect(path: string, options: { readonly name: string; readonly maxPixels: number }): Promise<readonly PhotoPage[]>;
  /** Writes a small JPEG of a page to a new file. @throws VeligridError `unreadable-photo` */
  preview(path: string, page: number, to: string): Promise<void>;
  /** Cuts a page into squares below a folder. @throws VeligridError `unreadable-photo` */
  pyramid(path: string, page: number, folder: string): Promise<void>;
  /** Ends the processes; who waits is told that the picture could not be read. */
  stop(): void;
}

export interface PictureReaderOptions {
  /** Pictures at a time; each takes the memory of a decoded photo. Default 2. */
  readonly atATime?: number;
  /** How long one may take before its process is ended, milliseconds. Default three minutes. */
  readonly mostMs?: number;
}

const IDLE_MS = 60_000;
const MOST_MS = 180_000;

const NOT_READ = {
  died: 'The photo could not be read: the program that reads it died of it. Save it again as JPEG and send that.',
  'too-long': 'The photo could not be read: it took too long. Save it again as JPEG, or smaller, and send that.',
} as const;

/** A reader of pictures; its processes begin with the first one. */
export function createPictureReader({ atATime = 2, mostMs = MOST_MS }: PictureReaderOptions = {}): PictureReader {
  const file = new URL('./picture-process.js', import.meta.url);
  const processes = new Processes<PictureTask, PictureAnswer>(file, { atATime, mostMs, idleMs: IDLE_MS });
  const run = async (task: PictureTask): Promise<PictureAnswer> => {
    const answered = await processes.run(task);
    if ('answer' in answered) {
      if (answered.answer.kind === 'refused') throw new VeligridError('unreadable-photo', answered.answer.reason);
      return answered.answer;
    }
    if (answered.none === 'fault') throw new Error(answered.why);
    throw new VeligridError('unreadable-photo', NOT_READ[answered.none === 'too-long' ? 'too-long' : 'died']);
  };
  return {
    async inspect(path, options) {
      const answer = await run({ act: 'inspect', path, ...options });
      if (answer.kind !== 'pages') throw new Error(`The reader of pictures answered ${answer.kind}`);
      return answer.pages;
    },
    async preview(path, page, to) {
      await run({ act: 'preview', path, page, to });
    },
    async pyramid(path, page, folder) {
      await run({ act: 'pyramid', path, page, folder });
    },
    stop: () => {
      processes.stop();
    },
  };
}
