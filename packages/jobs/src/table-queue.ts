import type { JobTable } from '@veligrid/storage';
import type { Queue } from './queue.js';

/** How a queue is kept in the store's own table. */
export interface TableQueueOptions {
  /** Kinds of jobs that `claim` takes. */
  readonly kinds: readonly string[];
  /** How long a job is a worker's without a word from it, milliseconds. */
  readonly leaseMs: number;
}

/** The queue in the table of jobs of a store: for one machine. */
export function tableQueue(jobs: JobTable, { kinds, leaseMs }: TableQueueOptions): Queue {
  return {
    enqueue: (added) => jobs.add(added),
    get: (id) => jobs.get(id),
    list: (choice) => jobs.list(choice),
    claim: (worker) => jobs.claim(worker, kinds, leaseMs),
    progress: (hold, progress) => jobs.progress(hold, progress, leaseMs),
    done: (hold) => jobs.done(hold),
    failed: (hold, reason, again) => jobs.failed(hold, reason, again),
    retry: (id) => jobs.retry(id),
    cancel: (id) => jobs.cancel(id),
    release: (worker) => jobs.release(worker),
  };
}
