import type { MessagePort } from 'node:worker_threads';
import type { CountOptions } from '@veligrid/imaging';
import type { PhotoCount } from '@veligrid/model';

/** What a worker thread is asked; plain data. */
export interface CountTask {
  readonly path: string;
  /** Page of the file, 1 for the first. */
  readonly page: number;
  readonly options: CountOptions;
  /** Is told of each step when it is done; the worker closes nothing, as the other end does. */
  readonly steps?: MessagePort;
}

/** What it answers; plain data. A fault of ours is thrown instead. */
export type CountAnswer =
  | { readonly kind: 'counted'; readonly count: PhotoCount }
  /** The photo can't be counted, and why: trying again would change nothing. */
  | { readonly kind: 'refused'; readonly reason: string };
