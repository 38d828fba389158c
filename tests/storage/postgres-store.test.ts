import { join } from 'node:path';
import { openStore } from '@veligrid/storage';
import { afterAll, beforeAll, describe } from 'vitest';
import { startPostgres, withoutPostgres, type PrivatePostgres } from '../support/private-postgres.js';
import type { Reopen } from './contract-support.js';
import { jobContract } from './job-contract.js';
import { newFolder } from './new-folder.js';
import { planContract } from './plan-contract.js';
import { sampleContract } from './sample-contract.js';
import { seasonContract } from './season-contract.js';
import { storeContract } from './store-contract.js';

describe.skipIf(withoutPostgres)('on PostgreSQL', () => {
  let postgres: PrivatePostgres;
  let template = '';
  beforeAll(async () => {
    postgres = await startPostgres();
    template = await postgres.newDatabase();
    const folder = newFolder();
    await (await openStore({ address: template, photos: join(folder, 'photos'), folder })).close();
  });
  afterAll(async () => {
    await postgres.remove();
  });

  const place = (): Reopen => {
    const folder = newFolder();
    let address: Promise<string> | null = null;
    return async (options) => {
      address ??= postgres.newDatabase(template);
      return openStore({ address: await address, photos: join(folder, 'photos'), folder }, options);
    };
  };

  storeContract('a store in PostgreSQL', place);
  sampleContract('samples in a store in PostgreSQL', place);
  seasonContract('the record of a season in a store in PostgreSQL', place);
  planContract('plans in a store in PostgreSQL', place);
  jobContract('jobs in a store in PostgreSQL', place);
});
