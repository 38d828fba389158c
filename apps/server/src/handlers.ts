import type { RouteName } from '@veligrid/api';
import { openApi } from '@veligrid/api';
import { calibrationHandlers } from './calibrations/calibration-handlers.js';
import type { Handlers } from './http/call.js';
import { accessHandlers } from './people/tokens.js';
import { backupHandlers } from './keeping/backup-handlers.js';
import { cultureRecordHandlers } from './keeping/culture-records.js';
import { tankRecordHandlers } from './keeping/tank-records.js';
import { sessionHandlers } from './people/session-handlers.js';
import { settingsHandlers } from './people/settings.js';
import { staffHandlers } from './people/staff-handlers.js';
import { photoHandlers } from './photos/photo-handlers.js';
import { pictureHandlers } from './photos/pictures.js';
import { watchHandlers } from './photos/watch-sample.js';
import { exportHandlers } from './results/exports.js';
import { signOffHandlers } from './results/sign-off-handlers.js';
import { auditHandlers } from './review/audit-handlers.js';
import { decisionHandlers } from './review/view-handlers.js';
import { sampleHandlers } from './samples/sample-handlers.js';
import { dayHandlers } from './season/day-handlers.js';
import { afterHandlers } from './season/after-handlers.js';
import { entryHandlers } from './season/entry-handlers.js';
import { planHandlers } from './season/plan-handlers.js';
import { spawnHandlers } from './season/spawn-handlers.js';
import { seasonHandlers } from './season/season-handlers.js';
import { tankHandlers } from './samples/tank-handlers.js';
import { takeawayHandlers } from './takeaway/export-handlers.js';
import { stageRulesHandlers } from './stage-rules/stage-rules-handlers.js';

/** The handler of every route; one that is missing is a compile error. */
export const handlers: Handlers<RouteName> = {
  ...sessionHandlers,
  ...staffHandlers,
  ...settingsHandlers,
  ...tankHandlers,
  ...sampleHandlers,
  ...photoHandlers,
  ...pictureHandlers,
  ...watchHandlers,
  ...decisionHandlers,
  ...auditHandlers,
  ...signOffHandlers,
  ...exportHandlers,
  ...calibrationHandlers,
  ...stageRulesHandlers,
  ...entryHandlers,
  ...dayHandlers,
  ...tankRecordHandlers,
  ...cultureRecordHandlers,
  ...backupHandlers,
  ...planHandlers,
  ...afterHandlers,
  ...accessHandlers,
  ...spawnHandlers,
  ...seasonHandlers,
  ...takeawayHandlers,
  getOpenApi: ({ house, res }) => {
    res.json(openApi(house.version));
    return Promise.resolve();
  },
};
