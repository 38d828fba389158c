import { execFileSync, spawn, spawnSync, type ChildProcess } from 'node:child_process';
import { chownSync, existsSync, mkdtempSync, openSync, readdirSync, readFileSync, rmSync, statfsSync } from 'node:fs';
import { once } from 'node:events';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** Folder in which Debian puts each major version. */
const DEBIAN = '/usr/lib/postgresql';

/** Folder of the programs of the newest PostgreSQL on this machine, or null. */
function findPrograms(): string | null {
  const named = process.env['VELIGRID_POSTGRES'];
  if (named !== undefined) return named;
  const versions = existsSync(DEBIAN) ? readdirSync(DEBIAN).sort((a, b) => Number(b) - Number(a)) : [];
  const inPath = (process.env['PATH'] ?? '').split(':');
  return [...versions.map((version) => join(DEBIAN, version, 'bin')), ...inPath].find(hasPrograms) ?? null;
}

const hasPrograms = (folder: string): boolean => ['initdb', 'postgres'].every((name) => existsSync(join(folder, name)));

const programs = findPrograms();

/** Whether tests with PostgreSQL can't be run here. Where VELIGRID_NEED_POSTGRES is set they fail instead. */
export const withoutPostgres: boolean = programs === null && process.env['VELIGRID_NEED_POSTGRES'] === undefined;

if (withoutPostgres) {
  process.stderr.write(
    `Left out: tests with PostgreSQL, as ${DEBIAN} and the PATH hold no initdb and postgres. Debian: apt-get install postgresql\n`,
  );
}

/** The parts of the database driver that the tests use themselves, below the store. */
export interface PostgresClient {
  connect(): Promise<unknown>;
  on(event: 'error', told: () => void): void;
  query(sql: string, values?: readonly unknown[]): Promise<{ readonly rows: Record<string, unknown>[] }>;
  end(): Promise<void>;
}

const fromStorage = createRequire(new URL('../../packages/storage/package.json', import.meta.url));
const { Client } = fromStorage('pg') as { readonly Client: new (address: string) => PostgresClient };

/** A PostgreSQL of the tests' own, which nobody else reaches. */
export interface PrivatePostgres {
  /** Makes a database, empty or a copy of another that nobody has open, and answers its address. */
  newDatabase(like?: string): Promise<string>;
  /** Asks a database something behind the store's back. */
  ask(address: string, sql: string, values?: readonly unknown[]): Promise<Record<string, unknown>[]>;
  /** Path of the socket file at which it listens. */
  readonly socketPath: string;
  /** Number of its process; null when it does not run. */
  pid(): number | null;
  start(): Promise<void>;
  /** Ends all of it at once, as when the power goes. */
  kill(): Promise<void>;
  /** Ends it and removes its folder. */
  remove(): Promise<void>;
}

/** The account that runs it: PostgreSQL refuses to run as root. */
function account(): { readonly uid?: number; readonly gid?: number } {
  if (process.getuid?.() !== 0) return {};
  const id = (which: string): number => Number(execFileSync('id', [which, 'postgres'], { encoding: 'utf8' }));
  return { uid: id('-u'), gid: id('-g') };
}

const wait = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

/** Where it is put: in memory where there is enough, as syncing a disk for every test takes most of the time. */
function roomiest(): string {
  const memory = '/dev/shm';
  if (!existsSync(memory)) return tmpdir();
  const { bavail, bsize } = statfsSync(memory);
  return bavail * bsize > ROOM ? memory : tmpdir();
}

/** Bytes that all databases of the tests take at most. */
const ROOM = 1.5e9;

/** How long a start may take, ms. */
const START_MS = 60_000;

/** How one is made. */
export interface PostgresWanted {
  /** Folder for its own; by default the one where tests are quickest. */
  readonly within?: string;
  /** Variables of its environment beside those of this process. */
  readonly environment?: Readonly<Record<string, string>>;
  /** Settings beside those that every one has, `name=value`. */
  readonly settings?: readonly string[];
}

/** Makes and starts one. It sorts text by English, as most do: what has to sort by bytes must say so. */
export async function startPostgres(wanted: PostgresWanted = {}): Promise<PrivatePostgres> {
  const { within = roomiest(), environment = {} } = wanted;
  if (programs === null) throw new Error('There is no PostgreSQL on this machine, and VELIGRID_NEED_POSTGRES is set.');
  const folder = mkdtempSync(join(within, 'veligrid-postgres-'));
  const { uid, gid } = account();
  if (uid !== undefined && gid !== undefined) chownSync(folder, uid, gid);
  const data = join(folder, 'data');
  const english = ['--locale=C.UTF-8', '--locale-provider=icu', '--icu-locale=en-US', '--encoding=UTF8'];
  const made = spawnSync(
    join(programs, 'initdb'),
    ['-D', data, '-A', 'trust', '-U', 'veligrid', '--no-sync', ...english],
    { ...account(), cwd: folder, encoding: 'utf8' },
  );
  if (made.status !== 0) throw new Error(`initdb ended with ${String(made.status)}: ${made.stdout}${made.stderr}`);

  const address = (database: string): string => `postgresql://veligrid@/${database}?host=${encodeURIComponent(folder)}`;
  const ask: PrivatePostgres['ask'] = async (at, sql, values) => {
    const client = new Client(at);
    client.on('error', () => undefined);
    await client.connect();
    try {
      return (await client.query(sql, values)).rows;
    } finally {
      await client.end();
    }
  };

  let child: ChildProcess | null = null;
  const begin = (): ChildProcess => {
    const settings = [
      'listen_addresses=',
      `unix_socket_directories=${folder}`,
      'max_connections=200',
      ...(wanted.settings ?? []),
    ];
    const log = openSync(join(folder, 'log'), 'a');
    const args = ['-D', data, ...settings.flatMap((one) => ['-c', one])];
    const env = { ...process.env, ...environment };
    return spawn(join(programs, 'postgres'), args, { ...account(), cwd: folder, env, stdio: ['ignore', log, log] });
  };
  const start = async (): Promise<void> => {
    const until = Date.now() + START_MS;
    child = begin();
    for (;;) {
      try {
        await ask(address('postgres'), 'select 1');
        return;
      } catch (error) {
        if (Date.now() > until) throw new Error(readFileSync(join(folder, 'log'), 'utf8'), { cause: error });
        // children of one that was killed keep its memory for a moment, and it is refused until they are gone
        if (child.exitCode !== null) child = begin();
        await wait(50);
      }
    }
  };
  const end = async (signal: NodeJS.Signals): Promise<void> => {
    if (child?.exitCode !== null || child.signalCode !== null) return;
    const ended = once(child, 'exit');
    child.kill(signal);
    await ended;
  };

  let databases = 0;
  await start();
  return {
    async newDatabase(like) {
      databases += 1;
      const name = `house_${databases}`;
      const template = like === undefined ? '' : ` template ${/\/(\w+)\?/.exec(like)?.[1] ?? ''}`;
      await ask(address('postgres'), `create database ${name}${template}`);
      return address(name);
    },
    ask,
    socketPath: join(folder, '.s.PGSQL.5432'),
    pid: () => (child?.exitCode === null && child.signalCode === null ? (child.pid ?? null) : null),
    start,
    kill: () => end('SIGKILL'),
    async remove() {
      await end('SIGQUIT');
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
