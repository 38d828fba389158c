import type { Socket } from 'node:net';
import { setTimeout } from 'node:timers/promises';
import pg from 'pg';

/** How long silence is borne. */
export interface Patience {
  /** A statement that was not answered for so long is asked after over another connection, milliseconds. */
  readonly silentMs: number;
  /** How long that one has to say whether the database is at work on it, milliseconds. */
  readonly askMs: number;
}

const USUAL_PATIENCE: Patience = { silentMs: 5000, askMs: 5000 };

/** What the driver's connections have beside what they publish. */
interface Inside {
  readonly connection: { readonly stream: Socket };
  /** Number of its session in the database. */
  readonly processID: number | null;
}

/** The socket of a connection; another one once it is encrypted. */
export const socketOf = (client: pg.ClientBase): Socket => (client as unknown as Inside).connection.stream;

/** What to say of a statement that nobody answers. */
const NO_ANSWER = 'nothing was heard from it';

/** Whether an error is of a connection that was given up for its silence. */
export const isSilence = (message: string): boolean => message === NO_ANSWER;

/** Numbers of the sessions that the database is at work for; null when it does not answer, 'unknown' when it tells nobody. */
async function sessionsAtWork(config: pg.ClientConfig, askMs: number): Promise<ReadonlySet<number> | null | 'unknown'> {
  const asking = new pg.Client({ ...config, connectionTimeoutMillis: askMs, query_timeout: askMs });
  asking.on('error', () => undefined);
  try {
    await asking.connect();
    // a database told not to note what it does says `disabled`
    const { rows } = await asking.query<{ pid: number }>(
      `select pid from pg_stat_activity where datname = current_database() and state in ('active', 'disabled')`,
    );
    return new Set(rows.map(({ pid }) => pid));
  } catch (error) {
    // it lives, but has no connection left (PostgreSQL 15, appendix A: too_many_connections)
    return error instanceof pg.DatabaseError && error.code === '53300' ? 'unknown' : null;
  } finally {
    // nobody waits for its end, which a broken network may keep back for ever
    asking.end().catch(() => undefined);
    socketOf(asking).unref();
  }
}

/** Listens whether statements are answered: a network may swallow all that is sent without closing a connection. */
export class Silence {
  readonly #config: pg.ClientConfig;
  readonly #patience: Patience;
  #asking: ReturnType<typeof sessionsAtWork> | null = null;

  /** @param config how the database is reached */
  constructor(config: pg.ClientConfig, patience: Patience = USUAL_PATIENCE) {
    this.#config = config;
    this.#patience = patience;
  }

  /** What the database says of a session: at work, done with what it was asked, or nothing. */
  async #stateOf(session: number | null): Promise<'at work' | 'done' | 'silent'> {
    this.#asking ??= sessionsAtWork(this.#config, this.#patience.askMs).finally(() => {
      this.#asking = null;
    });
    const found = await this.#asking;
    if (found === null) return 'silent';
    return found === 'unknown' || found.has(session ?? 0) ? 'at work' : 'done';
  }

  /**
   * Waits for the answer to a statement as long as the database is at work on it or sends something. A connection without
   * either is broken, which the driver tells whoever waits.
   */
  async listen<T>(client: pg.ClientBase, answer: Promise<T>): Promise<T> {
    const socket = socketOf(client);
    const { silentMs } = this.#patience;
    let heard = socket.bytesRead;
    let asking = false;
    let over = false;
    const look = async (): Promise<void> => {
      if (asking) return;
      const now = socket.bytesRead;
      const isSilent = now === heard;
      heard = now;
      if (!isSilent) return;
      asking = true;
      const state = await this.#stateOf((client as unknown as Inside).processID);
      // the answer may be on its way
      if (state === 'done' && !over) await setTimeout(silentMs, undefined, { ref: false });
      asking = false;
      if (!over && state !== 'at work' && socket.bytesRead === now) socket.destroy(new Error(NO_ANSWER));
    };
    const timer = setInterval(() => void look(), silentMs);
    try {
      return await answer;
    } finally {
      over = true;
      clearInterval(timer);
    }
  }
}
