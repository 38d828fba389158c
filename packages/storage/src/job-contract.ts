import type { JsonObject } from './kept-contract.js';

export type JobState = 'waiting' | 'running' | 'done' | 'failed' | 'cancelled';

/** One piece of work for the background. */
export interface Job {
  readonly id: string;
  /** For example `count-photo`. */
  readonly kind: string;
  /** What the job is about, for example a photo's id; null when nothing in particular. */
  readonly subject: string | null;
  readonly payload: JsonObject;
  readonly state: JobState;
  /** 0..1. */
  readonly progress: number;
  /** Why it failed last, or null. */
  readonly reason: string | null;
  /** How often it was begun. */
  readonly attempts: number;
  readonly worker: string | null;
  readonly leaseUntil: string | null;
  readonly addedAt: string;
  readonly changedAt: string;
}

/** A claimed job is the worker's until its lease ends; the number of the attempt proves whose it is. */
export interface JobHold {
  readonly id: string;
  readonly attempt: number;
}

/** The table behind the queue. Methods with a hold answer false when the job is no longer that worker's. */
export interface JobTable {
  add(jobs: readonly Pick<Job, 'kind' | 'subject' | 'payload'>[]): Promise<readonly Job[]>;
  get(id: string): Promise<Job | null>;
  /** Newest last. */
  list(choice?: { readonly state?: JobState; readonly subjects?: readonly string[] }): Promise<readonly Job[]>;
  /**
   * Takes the job that has waited longest, or one whose lease has ended; null when there is none.
   *
   * @param lease in milliseconds from the store's now. A lease further away than this means that the clock was set
   *   back, and counts as ended.
   */
  claim(worker: string, kinds: readonly string[], leaseMs: number): Promise<Job | null>;
  /** Renews the lease and notes the progress, 0..1. */
  progress(hold: JobHold, progress: number, leaseMs: number): Promise<boolean>;
  done(hold: JobHold): Promise<boolean>;
  /** @param again whether it goes back to the waiting ones */
  failed(hold: JobHold, reason: string, again: boolean): Promise<boolean>;
  /** Puts a failed or cancelled job back; false when it is neither. */
  retry(id: string): Promise<boolean>;
  /** False when it has ended already. */
  cancel(id: string): Promise<boolean>;
  /** Gives back what a worker of this name held before it was restarted; answers how many. */
  release(worker: string): Promise<number>;
}
