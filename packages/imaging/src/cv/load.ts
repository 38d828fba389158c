import { createRequire } from 'node:module';
import type { OpenCv } from './open-cv.js';

const require = createRequire(import.meta.url);
const events = ['uncaughtException', 'unhandledRejection'] as const;

let loaded: OpenCv | undefined;

/**
 * The OpenCV library, loaded at the first call (about 0.4 s) and kept. It listens for uncaught exceptions of the whole
 * process when it loads, which would change how a host program fails; those listeners are taken off again.
 */
export function loadOpenCv(): OpenCv {
  loaded ??= loadQuietly();
  return loaded;
}

function loadQuietly(): OpenCv {
  const before = events.map((event) => new Set<unknown>(process.rawListeners(event)));
  const { cv } = require('opencv-wasm') as { cv: OpenCv };
  events.forEach((event, index) => {
    for (const listener of process.rawListeners(event)) {
      if (!before[index]?.has(listener)) process.removeListener(event, listener as (...args: unknown[]) => void);
    }
  });
  return cv;
}
