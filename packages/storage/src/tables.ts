import { ACCESS_TOKEN, SIGN_IN_EVENT } from './access-tables.js';
import type { AnyTable } from './columns.js';
import { CALIBRATION, CHANGE, DECISION, DETECTIONS, ESTIMATE, PLAN, RULES, SETTING, SIGN_OFF } from './log-tables.js';
import { SEASON_TABLES } from './season-tables.js';
import { BATCH, FILE, FILLING, JOB, MICROSCOPE, PHOTO, SAMPLE, SIGN_IN, STAFF, TANK } from './record-tables.js';

/** Every table, those named by others first. */
export const TABLES: readonly AnyTable[] = [
  STAFF,
  SIGN_IN,
  ACCESS_TOKEN,
  SIGN_IN_EVENT,
  MICROSCOPE,
  CALIBRATION,
  BATCH,
  TANK,
  SAMPLE,
  FILLING,
  FILE,
  PHOTO,
  DETECTIONS,
  DECISION,
  SIGN_OFF,
  ESTIMATE,
  ...SEASON_TABLES,
  RULES,
  PLAN,
  SETTING,
  JOB,
  CHANGE,
];
