/** What a process says of a task: notes while it works, then its answer or what went wrong. */
export type Said<Answer> =
  | { readonly kind: 'note'; readonly note: unknown }
  | { readonly kind: 'answer'; readonly answer: Answer }
  /** A fault of ours. */
  | { readonly kind: 'fault'; readonly message: string };

/**
 * Makes this process one that `Processes` gives tasks to, one at a time; it ends with the program that began it.
 *
 * @param work does a task, of the kind that the one who began this process gives; `tell` sends a note to whoever waits for it
 */
export function answerTasks(work: (task: unknown, tell: (note: unknown) => void) => Promise<unknown>): void {
  const say = (said: Said<unknown>): void => {
    // who asked may be gone: its end is heard
    process.send?.(said, () => undefined);
  };
  process.on('message', (task: unknown) => {
    work(task, (note) => {
      say({ kind: 'note', note });
    }).then(
      (answer) => {
        say({ kind: 'answer', answer });
      },
      (error: unknown) => {
        say({ kind: 'fault', message: error instanceof Error ? error.message : String(error) });
      },
    );
  });
  process.on('disconnect', () => process.exit(0));
}
