import type { Store } from '@veligrid/storage';
import type { House } from '../house.js';
import { createLockOut } from '../people/lock-out.js';
import { USUAL_COST } from '../people/passwords.js';
import { PROGRAM_VERSION } from '../version.js';

const noPictures = (): Promise<never> => Promise.reject(new Error('Nobody sends pictures here'));

/** A house without a server: for programs on this machine that work on the store as the server does. */
export const benchHouse = (store: Store, now: () => Date): House => ({
  store,
  now,
  version: PROGRAM_VERSION,
  uploadFolder: '',
  exportTo: () => Promise.reject(new Error('Nothing is handed out here')),
  uploadLimits: { bytes: 0, pixels: 0, stillMs: 0 },
  accountsWanted: false,
  secureCookies: false,
  firstManagerCode: null,
  lockOut: createLockOut(now),
  passwordCost: USUAL_COST,
  wakeWorkers: () => undefined,
  findLines: () => Promise.reject(new Error('Nothing is calibrated here')),
  pictures: { inspect: noPictures, preview: noPictures, pyramid: noPictures },
  backups: null,
  checkAnswers: false,
});
