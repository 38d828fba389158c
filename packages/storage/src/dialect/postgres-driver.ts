import {
  CompiledQuery,
  PostgresAdapter,
  PostgresDriver,
  PostgresIntrospector,
  PostgresQueryCompiler,
  type DatabaseConnection,
  type Dialect,
  type PostgresPool,
  type TransactionSettings,
} from 'kysely';

/** Number of the lock that whoever writes holds until its transaction ends; any that no other program uses. */
const WRITING = 8_641_903_275;

/**
 * Kysely's driver, with one writer at a time as in SQLite: rows are numbered without gaps by the highest number there is,
 * and what is refused depends on what is there. The lock is taken before anything is read, so that all is seen that the
 * writer before has written. Those who only read never wait.
 */
class OneWriterDriver extends PostgresDriver {
  override async beginTransaction(connection: DatabaseConnection, settings: TransactionSettings): Promise<void> {
    const say = (sql: string): Promise<unknown> => connection.executeQuery(CompiledQuery.raw(sql));
    if (settings.isolationLevel === 'repeatable read') {
      await say('begin isolation level repeatable read read only');
      return;
    }
    // said outright: a copy that can only be read refuses here
    await say('begin isolation level read committed read write');
    try {
      await say(`select pg_advisory_xact_lock(${WRITING})`);
    } catch (error) {
      // where even this fails the connection is broken, and thrown away
      await say('rollback').catch(() => undefined);
      throw error;
    }
  }
}

/** Kysely's PostgreSQL dialect with one writer at a time. */
export const oneWriterDialect = (pool: PostgresPool): Dialect => ({
  createDriver: () => new OneWriterDriver({ pool }),
  createQueryCompiler: () => new PostgresQueryCompiler(),
  createAdapter: () => new PostgresAdapter(),
  createIntrospector: (db) => new PostgresIntrospector(db),
});
