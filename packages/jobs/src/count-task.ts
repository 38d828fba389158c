import type { CountOptions } from '@veligrid/imaging';
import type { PhotoCount } from '@veligrid/model';

/** What a process is asked; plain data. */
export interface CountTask {
  readonly path: string;
  /** Page of the file, 1 for the first. */
  readonly page: number;
  readonly options: CountOptions;
}

/** What it answers; plain data. A fault of ours is thrown instead. */
export type CountAnswer =
  | { readonly kind: 'counted'; readonly count: PhotoCount }
  /** The photo can't be counted, and why: trying again would change nothing. */
  | { readonly kind: 'refused'; readonly reason: string };
