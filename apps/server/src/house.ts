import type { LineFinder, PictureReader } from '@veligrid/jobs';
import type { ExportOptions, Store } from '@veligrid/storage';
import type { FirstManagerCode } from './people/first-manager-code.js';
import type { LockOut } from './people/lock-out.js';
import type { BackupPlan } from './upkeep/start-upkeep.js';

/** How many bytes and pixels one photo may have, and how long its sending may stand still. */
export interface UploadLimits {
  readonly bytes: number;
  readonly pixels: number;
  /** Milliseconds without a byte after which an upload is given up. */
  readonly stillMs: number;
}

/** Everything that answers need; made once when the server starts. */
export interface House {
  readonly store: Store;
  readonly now: () => Date;
  /** Version of the program. */
  readonly version: string;
  /** Folder that uploads are streamed into before they are kept. */
  readonly uploadFolder: string;
  readonly uploadLimits: UploadLimits;
  /** Writes everything that is kept, as tables, into a new folder. */
  readonly exportTo: (folder: string, options: Pick<ExportOptions, 'withPictures'>) => Promise<void>;
  /** People must sign in, also while there is nobody who can. */
  readonly accountsWanted: boolean;
  /** The connection is encrypted here, or by the proxy before. */
  readonly secureCookies: boolean;
  readonly firstManagerCode: FirstManagerCode | null;
  readonly lockOut: LockOut;
  /** Power of two of the cost of a password's hash; less than 17 is for tests. */
  readonly passwordCost: number;
  /** Tells the workers that there is something to count. */
  readonly wakeWorkers: () => void;
  /** Looks for the lines of something of known size on a picture, beside the thread that answers. */
  readonly findLines: LineFinder['find'];
  /** Reads what people send, outside this process. */
  readonly pictures: Omit<PictureReader, 'stop'>;
  /** Backups that the server makes by itself; null when it was not told to. */
  readonly backups: BackupPlan | null;
  /** Refuses answers that don't fit the published schemas; for tests. */
  readonly checkAnswers: boolean;
}
