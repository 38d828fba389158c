import { fork, type ChildProcess } from 'node:child_process';
import type { Said } from './answer-tasks.js';

/** Why a task was not done: its process ended or was ended, it took too long, it met a fault, nobody wants it any more. */
export type NotDone =
  { readonly none: 'died' | 'fault'; readonly why: string } | { readonly none: 'too-long' | 'stopped' };

/** What became of a task. */
export type Answered<Answer> = { readonly answer: Answer } | NotDone;

export interface ProcessesOptions {
  /** Processes at a time, 1 or more. */
  readonly atATime: number;
  /** How long a process waits for another task before it ends, and its memory with it, milliseconds. */
  readonly idleMs: number;
  /** How long a task may take before its process is ended, milliseconds. Default for ever. */
  readonly mostMs?: number;
}

/** How a task is looked after. */
export interface Care {
  /** Told what the process says while it works. */
  readonly onNote?: (note: unknown) => void;
  /** Ends the task, and its process. */
  readonly signal?: AbortSignal;
}

/** A process that does one task at a time, begun when there is one, and begun anew after it died. */
class OneProcess<Task extends object, Answer> {
  readonly #file: URL;
  readonly #options: ProcessesOptions;
  #child: ChildProcess | null = null;
  #idle: NodeJS.Timeout | undefined;

  constructor(file: URL, options: ProcessesOptions) {
    this.#file = file;
    this.#options = options;
  }

  /** Does a task. The one before must have been answered. */
  run(task: Task, { onNote, signal }: Care): Promise<Answered<Answer>> {
    clearTimeout(this.#idle);
    if (signal?.aborted === true) return Promise.resolve({ none: 'stopped' });
    const child = (this.#child ??= fork(this.#file, { serialization: 'advanced', execArgv: [] }));
    child.ref();
    return new Promise((resolve) => {
      const end = (answered: Answered<Answer>): void => {
        clearTimeout(late);
        child.off('message', onMessage).off('exit', onExit).off('error', onError);
        signal?.removeEventListener('abort', onAbort);
        if ('none' in answered) this.stop();
        else this.#waitForMore(child);
        resolve(answered);
      };
      const onMessage = (said: unknown): void => {
        const heard = said as Said<Answer>;
        if (heard.kind === 'note') onNote?.(heard.note);
        else if (heard.kind === 'answer') end({ answer: heard.answer });
        else end({ none: 'fault', why: heard.message });
      };
      const onExit = (code: number | null, by: string | null): void => {
        end({ none: 'died', why: by ?? `exit ${code}` });
      };
      const onError = (error: Error): void => {
        end({ none: 'died', why: error.message });
      };
      const onAbort = (): void => {
        end({ none: 'stopped' });
      };
      const { mostMs } = this.#options;
      const late =
        mostMs === undefined
          ? undefined
          : setTimeout(() => {
              end({ none: 'too-long' });
            }, mostMs);
      child.on('message', onMessage).on('exit', onExit).on('error', onError);
      signal?.addEventListener('abort', onAbort);
      // a process that is just dying can't be told any more: its end is heard
      child.send(task, () => undefined);
    });
  }

  #waitForMore(child: ChildProcess): void {
    // a program that has nothing else to do need not wait for one that waits
    child.unref();
    this.#idle = setTimeout(() => {
      this.stop();
    }, this.#options.idleMs);
    this.#idle.unref();
  }

  /** Ends the process; what it is at is given up. */
  stop(): void {
    clearTimeout(this.#idle);
    this.#child?.kill('SIGKILL');
    this.#child = null;
  }
}

/**
 * Processes that do tasks outside this program: a fault of a decoder ends one of them and nothing else. Each begins with its
 * first task and stays warm for the next.
 */
export class Processes<Task extends object, Answer> {
  readonly #all: readonly OneProcess<Task, Answer>[];
  readonly #free: OneProcess<Task, Answer>[];
  readonly #waiting: ((one: OneProcess<Task, Answer>) => void)[] = [];

  /** @param file module that calls `answerTasks` */
  constructor(file: URL, options: ProcessesOptions) {
    this.#all = Array.from({ length: options.atATime }, () => new OneProcess<Task, Answer>(file, options));
    this.#free = [...this.#all];
  }

  /** Does a task as soon as a process is free. */
  async run(task: Task, care: Care = {}): Promise<Answered<Answer>> {
    // the one that was used last is warm
    const one =
      this.#free.pop() ??
      (await new Promise<OneProcess<Task, Answer>>((resolve) => {
        this.#waiting.push(resolve);
      }));
    const answered = await one.run(task, care);
    const next = this.#waiting.shift();
    if (next === undefined) this.#free.push(one);
    else next(one);
    return answered;
  }

  /** Ends all processes; who waits is told that his task died. */
  stop(): void {
    for (const one of this.#all) one.stop();
  }
}
