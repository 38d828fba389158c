import { spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import type { PrivatePostgres } from '../../support/private-postgres.js';
import type { ShakyNetwork } from '../../support/shaky-network.js';
import { serveIn, type Program } from '../running-program.ts';

/** How long a worker holds a photo without a word, ms. */
const LEASE_MS = 2000;

const WORKERS = 2;
const worker = fileURLToPath(new URL('../../jobs/run-worker.mjs', import.meta.url));

/** What is around one program: its clock, and its way to the database. */
export interface Surroundings {
  readonly environment?: Readonly<Record<string, string>>;
  readonly network?: ShakyNetwork;
}

/** What everything runs on. */
export interface OutfitPlan {
  readonly postgres: PrivatePostgres;
  /** Folder of the photos, for all. */
  readonly photos: string;
  /** Folder for what each program has of its own. */
  readonly folder: string;
  /** After what time the database drops who stands still while it writes, and others wait, ms; as in earnest when not given. */
  readonly standStillMs?: number;
  readonly server?: Surroundings;
  readonly workers?: readonly Surroundings[];
}

const alive = ({ exitCode, signalCode }: ChildProcess): boolean => exitCode === null && signalCode === null;

/** A server, workers and a database, each started again after it ended, as the system does it. */
export class Outfit {
  readonly plan: OutfitPlan;
  readonly #address: string;
  readonly #workers: ChildProcess[] = [];
  #server: Program | null = null;
  #ended = false;

  private constructor(plan: OutfitPlan, address: string) {
    this.plan = plan;
    this.#address = address;
  }

  static async start(plan: OutfitPlan): Promise<Outfit> {
    mkdirSync(plan.folder, { recursive: true });
    const outfit = new Outfit(plan, await plan.postgres.newDatabase());
    await outfit.startServer();
    for (let i = 0; i < WORKERS; i += 1) outfit.#startWorker(i);
    return outfit;
  }

  readonly url = (): string => this.#server?.url ?? 'http://127.0.0.1:1';

  get serverPid(): number | undefined {
    return this.#server?.child.pid;
  }

  get workerPids(): readonly number[] {
    return this.#workers.flatMap(({ pid }) => pid ?? []);
  }

  /** Writes the file that tells a program where everything is. @param of name of the program; none goes straight */
  placeFile(of = 'straight', { network }: Surroundings = {}): string {
    const { photos, folder, standStillMs } = this.plan;
    const database =
      network === undefined
        ? this.#address
        : this.#address.replace(/@\/(\w+)\?.*$/, `@127.0.0.1:${String(network.port)}/$1`);
    const file = join(folder, `${of}.json`);
    const idle = `${database.includes('?') ? '&' : '?'}idle_in_transaction_session_timeout=${String(standStillMs)}`;
    const said = { database: `${database}${standStillMs === undefined ? '' : idle}`, photos, folder: join(folder, of) };
    writeFileSync(file, JSON.stringify(said));
    return file;
  }

  async startServer(): Promise<void> {
    this.#server = null;
    const { server = {} } = this.plan;
    const file = this.placeFile('server', server);
    // while the database is down it ends with what is wrong, and is started again, as the system does it
    while (this.#server === null) {
      const { environment = {} } = server;
      this.#server = await serveIn(environment, '--database-file', file, '--threads', '0').catch(() => null);
      if (this.#server === null) await setTimeout(200);
    }
  }

  #startWorker(i: number): void {
    const around = this.plan.workers?.[i] ?? {};
    const file = this.placeFile(`worker-${String(i + 1)}`, around);
    const env = { ...process.env, ...around.environment };
    const child = spawn(process.execPath, [worker, file, String(LEASE_MS)], { env, stdio: 'ignore' });
    this.#workers[i] = child;
    child.once('exit', () => {
      if (!this.#ended) this.#startWorker(i);
    });
  }

  async killServer(): Promise<void> {
    await this.#server?.end('SIGKILL');
    await this.startServer();
  }

  /** @param draw from 0 up to 1, which tells which one */
  killWorker(draw: number): void {
    this.#workers[Math.floor(draw * WORKERS)]?.kill('SIGKILL');
  }

  /** @param ms how long it is away */
  async killDatabase(ms: number): Promise<void> {
    await this.plan.postgres.kill();
    await setTimeout(ms);
    await this.plan.postgres.start();
  }

  /** What the server wrote. */
  get said(): string {
    return this.#server?.output() ?? '';
  }

  /** Whether the server is the one that was started last, and runs. */
  get serverAlive(): boolean {
    return this.#server !== null && alive(this.#server.child);
  }

  async end(): Promise<void> {
    this.#ended = true;
    for (const child of this.#workers) {
      const ended = alive(child) ? once(child, 'exit') : null;
      child.kill('SIGKILL');
      await ended;
    }
    await this.#server?.end('SIGTERM');
  }
}
