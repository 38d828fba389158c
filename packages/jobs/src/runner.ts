import { availableParallelism, hostname } from 'node:os';
import type { CountStep } from '@veligrid/imaging';
import { VeligridError, type PhotoCount } from '@veligrid/model';
import type { Job, Store } from '@veligrid/storage';
import { asStored, planCount, type CountPlan } from './count-plan.js';
import type { CountAnswer, CountTask } from './count-task.js';
import { insist } from './insist.js';
import { Processes } from './processes.js';
import type { Queue } from './queue.js';
import { doneAfter } from './step-shares.js';
import { tableQueue } from './table-queue.js';
import { heldByTheDead, workerName } from './worker-name.js';

/** The kind of job that counts a photo; its subject is the photo's id. */
export const COUNT_PHOTO = 'count-photo';

/** How jobs are run. */
export interface RunnerOptions {
  /** Photos counted at a time, each in a process of its own. Default: one less than the cores, at least 1. */
  readonly threads?: number;
  /** How long a job is held without a word, milliseconds. Default 60,000. */
  readonly leaseMs?: number;
  /** How often the queue is looked at when nobody woke the runner, milliseconds. Default 1,000. */
  readonly pollMs?: number;
  /** Module of the processes; only tests give their own. */
  readonly worker?: URL;
  /** Told after a job began or ended. */
  readonly onChange?: (job: Job) => void;
  /** Told what went wrong with the queue itself, such as a full disk; the runner goes on trying. */
  readonly onFault?: (error: unknown) => void;
}

/** A running runner. */
export interface Runner {
  /** Looks at the queue at once: call it after something was queued. */
  wake(): void;
  /** Whether the queue was looked at in the last half minute without a fault. */
  alive(): boolean;
  /** Waits until nothing waits and nothing runs. */
  idle(): Promise<void>;
  /** Ends all processes and gives back what they had. */
  stop(): Promise<void>;
}

/** A job begun this often without an end brings the whole program down: it is not begun again. */
const MOST_ATTEMPTS = 5;

/** How long a process waits for work before it ends, and its warm finder with it. */
const IDLE_MS = 10 * 60_000;

/** The process as built, beside this file. */
const ownWorker = (): URL => new URL('./count-process.js', import.meta.url);

/** Tries to read what belongs to a photo, some three minutes: what is missing by then is missing for good. */
const MOST_READS = 10;

/** A queue that was not looked at for so long is not looked after, ms. */
const STUCK_AFTER_MS = 30_000;

/** What became of a job that could not be done. */
class GivenUp extends Error {}

const reasonOf = (error: unknown): string => {
  if (error instanceof VeligridError) return error.message;
  if (error instanceof GivenUp) return error.message;
  const why = error instanceof Error ? error.message : String(error);
  return `The photo was not counted: the worker that had it stopped (${why}). Try it again, or take a smaller picture.`;
};

/** A job under way. */
interface Running {
  readonly end: Promise<void>;
  readonly stopper: AbortController;
  /** Changes when the job's lease ended while this program was too busy to renew it, and it got the job once more. */
  readonly hold: Hold;
}

/** What proves whose a job is, and how far it is, 0..1. */
interface Hold {
  readonly id: string;
  attempt: number;
  done: number;
}

class StoreRunner implements Runner {
  readonly #store: Store;
  readonly #queue: Queue;
  readonly #processes: Processes<CountTask, CountAnswer>;
  readonly #options: RunnerOptions;
  readonly #threads: number;
  readonly #leaseMs: number;
  readonly #name = workerName(hostname(), process.pid);
  readonly #running = new Map<string, Running>();
  readonly #timer: NodeJS.Timeout;
  #filling: Promise<void> | null = null;
  #lookedAt = performance.now();
  #again = false;
  #ending: Promise<void> | null = null;
  #stopped = false;

  constructor(store: Store, options: RunnerOptions) {
    const { threads = Math.max(1, availableParallelism() - 1), leaseMs = 60_000, pollMs = 1000 } = options;
    this.#store = store;
    this.#options = options;
    this.#threads = threads;
    this.#leaseMs = leaseMs;
    this.#queue = tableQueue(store.jobs, { kinds: [COUNT_PHOTO], leaseMs });
    this.#processes = new Processes(options.worker ?? ownWorker(), { atATime: threads, idleMs: IDLE_MS });
    this.#timer = setInterval(() => {
      this.wake();
      void this.#stopCancelled();
    }, pollMs);
    this.#timer.unref();
  }

  async start(): Promise<this> {
    const running = await this.#queue.list({ state: 'running' });
    for (const worker of heldByTheDead(running, hostname())) await this.#queue.release(worker);
    this.wake();
    return this;
  }

  wake(): void {
    if (this.#stopped) return;
    this.#again = true;
    if (this.#filling !== null) return;
    this.#filling = this.#fill()
      .catch((error: unknown) => {
        this.#options.onFault?.(error);
      })
      .finally(() => {
        this.#filling = null;
      });
  }

  alive(): boolean {
    return !this.#stopped && performance.now() - this.#lookedAt < STUCK_AFTER_MS;
  }

  async idle(): Promise<void> {
    for (;;) {
      await this.#filling;
      if (this.#stopped || (this.#running.size === 0 && !this.#again)) return;
      await Promise.all([...this.#running.values()].map(({ end }) => end));
      this.wake();
    }
  }

  stop(): Promise<void> {
    this.#ending ??= this.#end();
    return this.#ending;
  }

  async #end(): Promise<void> {
    this.#stopped = true;
    clearInterval(this.#timer);
    await this.#filling;
    const running = [...this.#running.values()];
    for (const { stopper } of running) stopper.abort();
    await Promise.all(running.map(({ end }) => end));
    this.#processes.stop();
    await this.#queue.release(this.#name);
  }

  /** Ends what works on a job that was cancelled. */
  async #stopCancelled(): Promise<void> {
    try {
      for (const [id, { stopper }] of this.#running) {
        if ((await this.#queue.get(id))?.state === 'cancelled') stopper.abort();
      }
    } catch (error) {
      this.#options.onFault?.(error);
    }
  }

  /** Claims jobs until all processes have one or none waits. */
  async #fill(): Promise<void> {
    while (this.#again && !this.#stopped) {
      this.#again = false;
      while (this.#running.size < this.#threads && !this.#isStopped()) {
        const job = await this.#queue.claim(this.#name);
        if (job === null) break;
        const running = this.#running.get(job.id);
        if (running === undefined) this.#begin(job);
        else running.hold.attempt = job.attempts;
      }
      this.#lookedAt = performance.now();
    }
  }

  // a method, as the compiler takes a field for unchanged since it was last looked at
  #isStopped(): boolean {
    return this.#stopped;
  }

  #begin(job: Job): void {
    this.#options.onChange?.(job);
    const stopper = new AbortController();
    const hold: Hold = { id: job.id, attempt: job.attempts, done: 0 };
    const end = this.#run(job, hold, stopper)
      .catch((error: unknown) => {
        this.#options.onFault?.(error);
      })
      .finally(() => {
        this.#running.delete(job.id);
        this.wake();
      });
    this.#running.set(job.id, { end, stopper, hold });
  }

  async #run(job: Job, hold: Hold, stopper: AbortController): Promise<void> {
    const renewal = setInterval(() => {
      void this.#renew(hold, stopper);
    }, this.#leaseMs / 3);
    try {
      await this.#count(job, hold, stopper);
    } catch (error) {
      // who was told to stop has nothing to tell: the job was cancelled, or goes back with the others
      if (!stopper.signal.aborted) await this.#queue.failed(hold, reasonOf(error), false);
    } finally {
      clearInterval(renewal);
    }
    const ended = await this.#queue.get(job.id);
    if (ended !== null) this.#options.onChange?.(ended);
  }

  async #renew(hold: Hold, stopper: AbortController): Promise<void> {
    try {
      if (!(await this.#queue.progress(hold, hold.done))) stopper.abort();
    } catch (error) {
      this.#options.onFault?.(error);
    }
  }

  async #count(job: Job, hold: Hold, stopper: AbortController): Promise<void> {
    if (job.attempts > MOST_ATTEMPTS) {
      throw new GivenUp(`The photo was begun ${MOST_ATTEMPTS} times and never ended. Take a smaller picture.`);
    }
    const insisting = { stop: stopper.signal, onFault: this.#options.onFault };
    const plan = await insist({ ...insisting, most: MOST_READS }, () =>
      planCount(this.#store, job.subject ?? '', job.payload),
    );
    const answer = await this.#inProcess(plan.task, hold, stopper);
    if (answer.kind === 'refused') throw new GivenUp(answer.reason);
    const count = asStored(answer.count, plan);
    // what was counted is kept in hand until the store takes it: a full disk may take a night to be noticed
    await insist({ ...insisting, most: Infinity }, () => this.#keep(count, plan, hold));
  }

  /** Keeps a count in one step with the end of its job, as long as that is this worker's. */
  #keep(count: PhotoCount, { photo }: CountPlan, hold: Hold): Promise<void> {
    return this.#store.together(async (parts) => {
      await parts.detections.add({ photoId: photo.id, count }, { by: count.method.name });
      const now = await parts.photos.get(photo.id);
      if (now !== null && now.widthPx === null) {
        const size = { widthPx: count.widthPx, heightPx: count.heightPx };
        await parts.photos.change(now.id, now.revision, size, { by: count.method.name });
      }
      if (await parts.jobs.done(hold)) return;
      throw new GivenUp('The job was taken away while it ran.');
    });
  }

  /** Counts in a process, which tells its steps; each renews the lease too. */
  async #inProcess(task: CountTask, hold: Hold, stopper: AbortController): Promise<CountAnswer> {
    const onNote = (step: unknown): void => {
      hold.done = doneAfter(step as CountStep);
      void this.#renew(hold, stopper);
    };
    const answered = await this.#processes.run(task, { onNote, signal: stopper.signal });
    if ('answer' in answered) return answered.answer;
    throw new Error('why' in answered ? answered.why : answered.none);
  }
}

/** Begins to count the photos that are queued in a store, one process each, until it is stopped. */
export function startRunner(store: Store, options: RunnerOptions = {}): Promise<Runner> {
  return new StoreRunner(store, options).start();
}

/** Queues photos of a store to be counted; the order is kept. */
export function enqueueCounts(store: Pick<Store, 'jobs'>, photoIds: readonly string[]): Promise<readonly Job[]> {
  return store.jobs.add(photoIds.map((subject) => ({ kind: COUNT_PHOTO, subject, payload: {} })));
}
