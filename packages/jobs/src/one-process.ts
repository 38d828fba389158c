import { fork, type ChildProcess } from 'node:child_process';

/** Why a process gave no answer. */
export type NoAnswer = 'died' | 'too-long';

/** What a process answered, or why it did not. */
export type Answered<Answer> = { readonly answer: Answer } | { readonly none: NoAnswer };

export interface OneProcessOptions {
  /** How long a task may take before the process is ended, milliseconds. */
  readonly mostMs: number;
  /** How long it waits for another task before it ends, and its memory with it, milliseconds. */
  readonly idleMs: number;
}

/** A process that does one task at a time, begun when there is one, and begun anew after it died. */
export class OneProcess<Task extends object, Answer> {
  readonly #file: URL;
  readonly #options: OneProcessOptions;
  #child: ChildProcess | null = null;
  #idle: NodeJS.Timeout | undefined;

  /** @param file module that answers each message by one */
  constructor(file: URL, options: OneProcessOptions) {
    this.#file = file;
    this.#options = options;
  }

  /** Does a task. The one before must have been answered. */
  run(task: Task): Promise<Answered<Answer>> {
    clearTimeout(this.#idle);
    const child = (this.#child ??= fork(this.#file, { serialization: 'advanced', execArgv: [] }));
    return new Promise((resolve) => {
      const end = (answered: Answered<Answer>): void => {
        clearTimeout(late);
        child.off('message', onMessage).off('exit', onExit).off('error', onExit);
        if ('none' in answered) this.stop();
        else this.#waitForMore();
        resolve(answered);
      };
      const onMessage = (answer: unknown): void => {
        end({ answer: answer as Answer });
      };
      const onExit = (): void => {
        end({ none: 'died' });
      };
      const late = setTimeout(() => {
        end({ none: 'too-long' });
      }, this.#options.mostMs);
      child.on('message', onMessage).on('exit', onExit).on('error', onExit);
      // a process that is just dying can't be told any more: its end is heard
      child.send(task, () => undefined);
    });
  }

  #waitForMore(): void {
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
