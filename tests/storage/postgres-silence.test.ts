import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Backend } from '../../packages/storage/src/dialect/backend.js';
import { postgresBackend } from '../../packages/storage/src/dialect/postgres.js';
import { translatedPostgres } from '../../packages/storage/src/dialect/postgres-errors.js';
import { startPostgres, withoutPostgres, type PrivatePostgres } from '../support/private-postgres.js';
import { shakyNetwork, type ShakyNetwork } from '../support/shaky-network.js';

const PATIENCE = { silentMs: 300, askMs: 1000 };

describe.skipIf(withoutPostgres)('a database behind a network that swallows what is sent', () => {
  let postgres: PrivatePostgres;
  let network: ShakyNetwork;
  let far: Backend;
  beforeAll(async () => {
    postgres = await startPostgres();
    network = await shakyNetwork(postgres.socketPath);
    const address = (await postgres.newDatabase()).replace(/\/(\w+)\?.*$/, `127.0.0.1:${String(network.port)}/$1`);
    far = postgresBackend(address, PATIENCE);
  });
  afterAll(async () => {
    await far.close();
    await network.close();
    await postgres.remove();
  });

  /** Asks something that takes so many seconds, and answers 1. */
  async function ask(seconds = 0, db = far.db): Promise<unknown> {
    const asked = db.selectNoFrom((eb) => [eb.fn('pg_sleep', [eb.val(seconds)]).as('slept'), eb.lit(1).as('said')]);
    return (await asked.executeTakeFirst())?.said;
  }
  const several = (): Promise<unknown[]> => Promise.all(Array.from({ length: 6 }, () => ask(0.1)));
  const SILENT = /^The database does not answer: look at it and at the network, then try again \(/;

  it('is waited for as long as it is at work', async () => {
    // four times as long as silence is borne
    expect(await ask(1.2)).toBe(1);
  });

  it('is waited for when it is done and its answer is on its way', async () => {
    await ask();
    // that of the statement is late, that of who asks after it is not
    const delays = [500];
    network.slow(() => delays.shift() ?? 0);
    expect(await ask()).toBe(1);
    network.heal();
  });

  it('is given up when nothing comes and it can not be asked, and is there again when something passes', async () => {
    await several();
    network.stall();
    const began = performance.now();
    await expect(ask()).rejects.toThrow(SILENT);
    expect(performance.now() - began).toBeLessThan(5000);
    network.heal();
    expect(await several()).toEqual([1, 1, 1, 1, 1, 1]);
  });

  it('is given up once when all connections are lost, as the others are not tried after the first', async () => {
    await several();
    network.lose();
    await expect(ask()).rejects.toThrow(SILENT);
    const began = performance.now();
    expect(await several()).toEqual([1, 1, 1, 1, 1, 1]);
    expect(performance.now() - began).toBeLessThan(5000);
  });

  it('keeps nobody waiting who undoes what was begun', async () => {
    const began = performance.now();
    const lost = far.db.transaction().execute(async (transaction) => {
      await ask(0, transaction);
      network.lose();
      await ask(0, transaction);
    });
    // the words of the fault itself, not of the undoing
    await expect(lost).rejects.toThrow(SILENT);
    expect(performance.now() - began).toBeLessThan(5000);
    network.heal();
  });
});

describe('what is said of a database that refuses', () => {
  // messages of pg 8.23.1, codes of PostgreSQL 15, appendix A
  it.each([
    [
      'SASL: SCRAM-SERVER-FIRST-MESSAGE: client password must be a string',
      '',
      /^The database wants a password: give it/,
    ],
    [
      'Client has encountered a connection error and is not queryable',
      '',
      /^The connection to the database broke: try/,
    ],
    [
      'could not extend file "base/1/2": No space left on device',
      '53100',
      /^The disk of the database is full: make room/,
    ],
    ['terminating connection due to idle-in-transaction timeout', '25P03', /^The database ended a transaction/],
  ])('%s', (message, code, words) => {
    const told = translatedPostgres(Object.assign(new Error(message), { code }));
    expect(told).toMatchObject({ code: 'store-failed', message: expect.stringMatching(words) as unknown });
    expect(told.message).toMatch(/What was sent was not kept\.$/);
  });
});
