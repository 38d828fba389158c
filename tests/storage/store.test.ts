import { openStore } from '@veligrid/storage';
import type { Reopen } from './contract-support.js';
import { newFolder } from './new-folder.js';
import { jobContract } from './job-contract.js';
import { planContract } from './plan-contract.js';
import { sampleContract } from './sample-contract.js';
import { seasonContract } from './season-contract.js';
import { storeContract } from './store-contract.js';

const place = (): Reopen => {
  const folder = newFolder();
  return (options) => openStore(folder, options);
};

storeContract('a store in one folder', place);
sampleContract('samples in a store in one folder', place);
seasonContract('the record of a season in a store in one folder', place);
planContract('plans in a store in one folder', place);
jobContract('jobs in a store in one folder', place);
