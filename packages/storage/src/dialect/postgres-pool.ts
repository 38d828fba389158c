import type { PostgresPool, PostgresPoolClient } from 'kysely';
import pg from 'pg';
import { translatedPostgres } from './postgres-errors.js';

/** Connections that one program has at most. One of them writes at a time, the others read. */
const MOST_CONNECTIONS = 10;

/** How long one waits for a connection, and for another program that is writing, milliseconds. */
const WAIT_MS = 10_000;

/** How long a statement may take, milliseconds: longer only when the database or the network hangs. */
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
]
  .map((setting) => `-c ${setting}`)
  .join(' ');

/** A connection whose errors are in words, and which is thrown away when it broke. */
function clientOf(client: pg.PoolClient): PostgresPoolClient {
  let broken = false;
  const query = async (sql: string, parameters: readonly unknown[]): Promise<unknown> => {
    try {
      return await client.query(sql, [...parameters]);
    } catch (error) {
      // what the database itself says leaves the connection whole
      broken ||= !(error instanceof pg.DatabaseError);
      throw translatedPostgres(error);
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

/** Connections to a database. @param address `postgresql://...`; what it leaves out comes from the usual PG variables */
export function postgresPool(address: string): PostgresPool {
  const pool = new pg.Pool({
    ...(address === '' ? {} : { connectionString: address }),
    application_name: 'veligrid',
    max: MOST_CONNECTIONS,
    connectionTimeoutMillis: WAIT_MS,
    lock_timeout: WAIT_MS,
    statement_timeout: STATEMENT_MS,
    query_timeout: STATEMENT_MS + WAIT_MS,
    idle_in_transaction_session_timeout: IDLE_MS,
    keepAlive: true,
    types,
    options: SESSION,
  });
  // an idle connection that breaks is thrown away by the pool; the next one who asks gets a new one
  pool.on('error', () => undefined);
  // one that breaks between two statements is noticed by the next statement; unheard, it would end the program
  pool.on('connect', (client) => client.on('error', () => undefined));
  return {
    async connect() {
      try {
        return clientOf(await pool.connect());
      } catch (error) {
        throw translatedPostgres(error);
      }
    },
    end: () => pool.end(),
  };
}
