import { setFlagsFromString } from 'node:v8';
import { Worker } from 'node:worker_threads';
import { EXIT } from '../exit-codes.js';
import type { CountJob, CountResult } from './count-file.js';

/** How photos are shared out. */
export interface CountPoolOptions {
  /** Worker threads, 1 or more; each keeps one finder warm. */
  readonly threads: number;
  /** Module that answers each job it is sent, by `answerJobs`. */
  readonly worker: URL;
  /** Told after each photo. */
  readonly onDone: () => void;
}

/** A crash costs its photo and says why. */
function crashed(job: CountJob, why: string): CountResult {
  const message = `${job.name} was not counted: the worker that had it stopped (${why}). Run it again alone, or at a smaller size.`;
  return { kind: 'failed', exitCode: EXIT.ourFault, message };
}

/** A worker thread and whether it has stopped. */
interface Lane {
  readonly worker: Worker;
  stopped: boolean;
}

/**
 * Each worker thread compiles the code of counting for itself, beside the counting of all. With less code drawn into what
 * is compiled (V8's own limit is 920) that takes the cores 6 % less of the time of four photos on two threads; one thread
 * alone would lose as much over a dozen.
 */
const compileBriefly = (): void => {
  setFlagsFromString('--max-inlined-bytecode-size-cumulative=300');
};

/** Starts a worker whose death never ends the whole process: the photo that it had tells of it. */
function startLane(module: URL): Lane {
  const worker = new Worker(module);
  const lane: Lane = { worker, stopped: false };
  worker.on('error', () => undefined);
  worker.on('exit', () => {
    lane.stopped = true;
  });
  return lane;
}

/** Sends one job to a worker and waits for its result. */
function countOn(lane: Lane, job: CountJob): Promise<CountResult> {
  const { worker } = lane;
  return new Promise((resolve) => {
    const settle = (result: CountResult): void => {
      worker.off('message', settle).off('error', onError).off('exit', onExit);
      resolve(result);
    };
    const onError = (error: Error): void => {
      // it ends by itself, but a moment later
      lane.stopped = true;
      settle(crashed(job, error.message));
    };
    const onExit = (code: number): void => {
      settle(crashed(job, `exit ${String(code)}`));
    };
    worker.on('message', settle).on('error', onError).on('exit', onExit);
    worker.postMessage(job);
  });
}

/**
 * Counts photos on worker threads. A thread that crashes costs the photo it had; another takes its place.
 *
 * @returns one result per job, in the order of the jobs whatever order they ended in
 */
export async function countOnWorkers(jobs: readonly CountJob[], options: CountPoolOptions): Promise<CountResult[]> {
  const { threads, worker: module, onDone } = options;
  const results = new Array<CountResult>(jobs.length);
  const waiting = jobs.entries();
  if (threads > 1) compileBriefly();
  const work = async (): Promise<void> => {
    let lane: Lane | null = null;
    for (const [index, job] of waiting) {
      if (lane === null || lane.stopped) lane = startLane(module);
      results[index] = await countOn(lane, job);
      onDone();
    }
    await lane?.worker.terminate();
  };
  await Promise.all(Array.from({ length: threads }, work));
  return results;
}
