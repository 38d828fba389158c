import { z } from 'zod';
import { calibrationPicture, newCalibration, pictureParts } from './calibrations.js';
import { calibration } from './results.js';
import type { Route } from './route.js';
import { rulesAsked, rulesHistory, rulesVersion } from './stage-rules.js';

/** Routes about calibrations and stage rules. */
export const toolRoutes = {
  listCalibrations: {
    method: 'get',
    path: '/calibrations',
    role: 'viewer',
    summary: 'Calibrations of each microscope and objective, latest first',
    answer: z.object({ calibrations: z.array(calibration) }),
  },
  addCalibration: {
    method: 'post',
    path: '/calibrations',
    role: 'counter',
    summary: 'Store a calibration of today',
    body: newCalibration,
    status: 201,
    answer: calibration,
  },
  addCalibrationPicture: {
    method: 'post',
    path: '/calibration-pictures',
    role: 'counter',
    summary: 'Send a picture of a stage micrometer, ruler or grid; says which lines were found',
    parts: pictureParts,
    files: { field: 'picture', most: 1 },
    status: 201,
    answer: calibrationPicture,
  },
  getStageRules: {
    method: 'get',
    path: '/stage-rules/{species}',
    role: 'viewer',
    summary: 'Stage rules in force, their history, and how many checked larvae wait',
    answer: rulesHistory,
  },
  learnStageRules: {
    method: 'post',
    path: '/stage-rules/{species}/learn',
    role: 'manager',
    summary: 'Learn new rules from checked larvae of signed-off counts; they are proposed, not taken',
    body: rulesAsked,
    status: 201,
    answer: rulesVersion,
  },
  takeStageRules: {
    method: 'post',
    path: '/stage-rules/{species}/{version}/take',
    role: 'manager',
    summary: 'Put proposed rules in force, or go back to earlier ones; refused when the gate refused them',
    body: rulesAsked,
    answer: rulesHistory,
  },
  refuseStageRules: {
    method: 'post',
    path: '/stage-rules/{species}/{version}/refuse',
    role: 'manager',
    summary: 'Refuse proposed rules; they stay in the history',
    body: rulesAsked,
    answer: rulesHistory,
  },
  getOpenApi: {
    method: 'get',
    path: '/openapi.json',
    role: 'anyone',
    summary: 'This interface as OpenAPI 3.1',
    media: 'application/json',
  },
} as const satisfies Record<string, Route>;
