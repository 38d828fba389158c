import { loadOpenCv } from './load.js';
import type { OpenCv, Owned } from './open-cv.js';

/** Marks memory of OpenCV as belonging to the scope and hands it back. */
export type Keep = <T extends Owned>(owned: T) => T;

/**
 * Runs work that uses OpenCV and frees what it kept, whatever is thrown. The result must not hold a `Mat` or a view of
 * one: copy it out. OpenCV throws bare numbers (also when its memory, at most 1 GiB, is full); they become errors with
 * OpenCV's own sentence.
 */
export function inCvScope<T>(work: (cv: OpenCv, keep: Keep) => T): T {
  const cv = loadOpenCv();
  const kept: Owned[] = [];
  const keep: Keep = (owned) => {
    kept.push(owned);
    return owned;
  };
  try {
    return work(cv, keep);
  } catch (thrown) {
    if (typeof thrown !== 'number') throw thrown;
    throw new Error(`OpenCV failed: ${cv.exceptionFromPtr(thrown).msg.trim()}`, { cause: thrown });
  } finally {
    for (const owned of kept.reverse()) owned.delete();
  }
}
