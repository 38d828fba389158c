import type { Console } from './console.js';
import type { CountFile } from './season/sample/keep-photo.js';

/** What commands are added with. */
export interface Adding {
  readonly console: Console;
  /** Takes the exit code. */
  readonly done: (code: number) => void;
  /** Module that counts one photo; only tests give their own. */
  readonly worker?: URL | undefined;
  /** Counts a photo for `sample photos`; only tests give their own. */
  readonly countFile?: CountFile | undefined;
}
