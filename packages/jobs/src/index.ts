export {
  ageWarnings,
  calibrationNotesKey,
  goodUntil,
  USUAL_CALIBRATION_DAYS,
  type CalibrationNotes,
} from './calibration-notes.js';
export { asStored, planCount, PRESETS_IN_USE, RULES_IN_USE, type CountPlan } from './count-plan.js';
export { createLineFinder, type LineFinder } from './line-finder.js';
export { createPictureReader, type PictureReader, type PictureReaderOptions } from './picture-reader.js';
export type { CountTask } from './count-task.js';
export type { NewJob, Queue } from './queue.js';
export { COUNT_PHOTO, enqueueCounts, startRunner, type Runner, type RunnerOptions } from './runner.js';
export { tableQueue, type TableQueueOptions } from './table-queue.js';
