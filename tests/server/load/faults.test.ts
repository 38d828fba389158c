import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { newFolder } from '../../storage/new-folder.js';
import { startPostgres, withoutPostgres, type PrivatePostgres } from '../../support/private-postgres.js';
import { seededRandom } from '../../support/seeded-random.js';
import { runFaults } from './run-faults.js';

describe.skipIf(withoutPostgres)('servers, workers and the database that are killed at any moment', () => {
  let postgres: PrivatePostgres;
  beforeAll(async () => {
    postgres = await startPostgres();
  });
  afterAll(async () => {
    await postgres.remove();
  });

  it('lose nothing acknowledged and count nothing twice', { timeout: 400_000 }, async () => {
    const random = seededRandom(10);
    const folder = join(newFolder(), 'house');
    const figures = await runFaults({ postgres, folder, random, kills: 5, stations: 2, between: [500, 2500] });
    expect(figures.errors).toEqual([]);
    expect(figures.decisions).toBeGreaterThanOrEqual(5);
    expect(figures.photos).toBeGreaterThan(0);
  });
});
