/**
 * Makes whatever wants to end this worker thread throw instead. A thread that ends without an error would leave the pool
 * waiting for its answer for ever; thrown, it costs the photo that it had and says so.
 */
export function noQuietExit(): void {
  process.exit = (code) => {
    throw new Error(`a library ended the worker with ${String(code ?? 0)}`);
  };
}
