/** Waits until somebody wants the program to end. */
export function stopAsked(): Promise<void> {
  return new Promise((resolve) => {
    const stop = (): void => {
      process.off('SIGINT', stop).off('SIGTERM', stop);
      resolve();
    };
    process.on('SIGINT', stop).on('SIGTERM', stop);
  });
}
