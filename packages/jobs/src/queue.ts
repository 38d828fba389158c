import type { Job, JobHold, JobState, JsonObject } from '@veligrid/storage';

/** Work to be queued. */
export interface NewJob {
  readonly kind: string;
  /** What it is about, for example a photo's id. */
  readonly subject: string | null;
  readonly payload: JsonObject;
}

/**
 * The queue of background work, whatever is behind it. A job is claimed for a time (its lease): a worker that dies loses it
 * when that time is over, and one that lives renews it by telling its progress. Whatever is answered is on disk.
 */
export interface Queue {
  enqueue(jobs: readonly NewJob[]): Promise<readonly Job[]>;
  get(id: string): Promise<Job | null>;
  /** In the order they were queued. */
  list(choice?: { readonly state?: JobState; readonly subjects?: readonly string[] }): Promise<readonly Job[]>;
  /** The job that has waited longest, now this worker's; null when none waits. No two workers get one job. */
  claim(worker: string): Promise<Job | null>;
  /** Tells how far a job is, 0..1, and keeps it; false when it is no longer this worker's, who has to stop then. */
  progress(hold: JobHold, progress: number): Promise<boolean>;
  done(hold: JobHold): Promise<boolean>;
  /** Ends a job with the reason. @param again whether it waits for another try */
  failed(hold: JobHold, reason: string, again: boolean): Promise<boolean>;
  /** Queues a failed or cancelled job again. */
  retry(id: string): Promise<boolean>;
  /** Ends a job that waits or runs. */
  cancel(id: string): Promise<boolean>;
  /** Gives back what a worker held that is no more; answers how many. */
  release(worker: string): Promise<number>;
}
