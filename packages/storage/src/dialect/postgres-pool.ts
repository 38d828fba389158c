import type { PostgresPool, PostgresPoolClient } from 'kysely';
import pg from 'pg';
import { NOBODY_KNOWS, translatedPostgres } from './postgres-errors.js';
import { Silence, socketOf, type Patience } from './postgres-silence.js';

/** Connections that one program has at most. One of them writes at a time, the others read. */
const MOST_CONNECTIONS = 10;

/** How long one waits for a connection, and for another program that is writing, milliseconds. */
const WAIT_MS = 10_000;

/** How long a statement that the database is at work on may take, milliseconds. */
const STATEMENT_MS = 120_000;

/** How long a program that hangs may keep all others from writing, milliseconds. */
const IDLE_MS = 30_000;

/** Values that come as text by default although they are numbers here. */
const types = new pg.TypeOverrides();
types.setTypeParser(pg.types.builtins.INT8, Number);
types.setTypeParser(pg.types.builtins.NUMERIC, Number);

/** What each connection asks for when it begins. */
const SESSION: string = [
  // an answered commit is on the disk, whatever the default of the database says
  'synchronous_commit=on',
  // a machine that was switched off in the middle of writing is noticed within half a minute
  'tcp_keepalives_idle=10',
  'tcp_keepalives_interval=5',
  'tcp_keepalives_count=3',
  // and one that takes no answer
  'tcp_user_timeout=30000',
]
  .map((setting) => `-c ${setting}`)
  .join(' ');

/** What the driver answers to a statement, as far as it is read here. */
const ROLLED_BACK = { command: 'ROLLBACK', rowCount: 0, rows: [] };

/** Whether an error says that the connection is of no more use. */
const isBroken = (error: unknown): boolean => !(error instanceof pg.DatabaseError) || error.severity === 'FATAL';

interface Listener {
  readonly silence: Silence;
  /** Told of a connection that broke. */
  readonly onBroken: () => void;
}

/** A connection whose errors are in words, and which is thrown away when it broke. */
function clientOf(client: pg.PoolClient, { silence, onBroken }: Listener): PostgresPoolClient {
  let broken = false;
  const query = async (sql: string, parameters: readonly unknown[]): Promise<unknown> => {
    // the database has done that itself, or will when it notices; to ask would only be to wait
    if (broken && sql === 'rollback') return ROLLED_BACK;
    try {
      return await silence.listen(client, client.query(sql, [...parameters]));
    } catch (error) {
      // what the database itself says leaves the connection whole
      if (!isBroken(error)) throw translatedPostgres(error);
      broken = true;
      onBroken();
      throw translatedPostgres(error, sql === 'commit' ? NOBODY_KNOWS : undefined);
    }
  };
  return {
    // rows are read whole, never by a cursor
    query: query as PostgresPoolClient['query'],
    release: () => {
      client.release(broken);
    },
  };
}

/**
 * Connections to a database.
 *
 * @param address `postgresql://...`; what it leaves out comes from the usual PG variables. It may set the driver's times
 *   otherwise, for example `?idle_in_transaction_session_timeout=5000`
 * @param patience with a database that says nothing; only tests give their own
 */
export function postgresPool(address: string, patience?: Patience): PostgresPool {
  const config: pg.PoolConfig = {
    ...(address === '' ? {} : { connectionString: address }),
    application_name: 'veligrid',
    max: MOST_CONNECTIONS,
    connectionTimeoutMillis: WAIT_MS,
    lock_timeout: WAIT_MS,
    statement_timeout: STATEMENT_MS,
    query_timeout: STATEMENT_MS + WAIT_MS,
    idle_in_transaction_session_timeout: IDLE_MS,
    keepAlive: true,
    keepAliveInitialDelayMillis: WAIT_MS,
    types,
    options: SESSION,
  };
  /** Open connections, also those that are not let in yet, each with the moment it was made. */
  const made = new Map<pg.ClientBase, number>();
  class NotedClient extends pg.Client {
    constructor(own?: string | pg.ClientConfig) {
      super(own);
      made.set(this, performance.now());
      this.once('end', () => made.delete(this));
    }
  }
  const pool = new pg.Pool({ ...config, Client: NotedClient });
  const silence = new Silence(config, patience);
  let brokenAt = -Infinity;
  // an idle connection that breaks is thrown away by the pool; the next one who asks gets a new one
  pool.on('error', () => undefined);
  // one that breaks between two statements is noticed by the next statement; unheard, it would end the program
  pool.on('connect', (client) => client.on('error', () => undefined));
  const onBroken = (): void => {
    brokenAt = performance.now();
  };
  return {
    async connect() {
      try {
        for (;;) {
          const client = await pool.connect();
          if ((made.get(client) ?? Infinity) > brokenAt) return clientOf(client, { silence, onBroken });
          // what broke one connection has most likely broken those that were open then
          socketOf(client).destroy();
          client.release(true);
        }
      } catch (error) {
        throw translatedPostgres(error);
      }
    },
    async end() {
      await pool.end();
      // a connection whose end nobody answers, or that waits for a password, keeps no program from ending
      for (const client of made.keys()) socketOf(client).unref();
    },
  };
}
