import { parentPort } from 'node:worker_threads';
import type { CountJob, CountResult } from './count-file.js';

/**
 * Answers each job that the main thread sends to this worker thread with its result, one at a time.
 *
 * @param count counts one job and never throws
 */
export function answerJobs(count: (job: CountJob) => Promise<CountResult>): void {
  const port = parentPort;
  port?.on('message', (job: CountJob) => {
    void count(job).then((result) => {
      port.postMessage(result);
    });
  });
}
