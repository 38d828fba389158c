export { createApp, type AppOptions } from './app.js';
export {
  confirmReviewed,
  objectsToReview,
  photosToReview,
  type BenchOptions,
  type Looked,
  type Review,
  type ToReview,
} from './results/confirm-reviewed.js';
export { keepHandTally, type HandTally, type TalliedFilling } from './results/hand-tally.js';
export { COUNT } from './season/count-kind.js';
export { RECORD_KINDS } from './season/record-kinds.js';
export { keptCounting } from './samples/sample-answer.js';
export { DEMO_KEY } from './people/session-handlers.js';
export type { House } from './house.js';
export { PLAIN_HTTP_WARNING } from './serve-refusal.js';
export { startServer, type RunningServer, type ServerOptions } from './start-server.js';
export { PROGRAM_VERSION } from './version.js';
export { startUpkeep } from './upkeep/start-upkeep.js';
export { logLine } from './watching/log-line.js';
