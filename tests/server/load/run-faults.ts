import { spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { openStore } from '@veligrid/storage';
import { smallPhoto } from '../support.ts';
import { serve, type Program } from '../running-program.ts';
import type { PrivatePostgres } from '../../support/private-postgres.js';
import { Station } from './station.js';

/** What is killed, and how often. */
export interface FaultPlan {
  readonly postgres: PrivatePostgres;
  /** Folder for photos and caches. */
  readonly folder: string;
  readonly kills: number;
  readonly stations: number;
  /** Least and most milliseconds between one that is up again and the next kill. */
  readonly between: readonly [least: number, most: number];
  readonly random: () => number;
}

/** What came of it. */
export interface FaultFigures {
  readonly kills: Readonly<Record<Victim, number>>;
  readonly decisions: number;
  readonly photos: number;
  /** Photos whose count was begun more than once, as its worker was killed. */
  readonly begunAgain: number;
  /** Everything that was lost, is there twice or is damaged. */
  readonly errors: readonly string[];
}

const VICTIMS = ['server', 'worker', 'database'] as const;
type Victim = (typeof VICTIMS)[number];

const LEASE_MS = 2000;
const WORKERS = 2;
const worker = fileURLToPath(new URL('../../jobs/run-worker.mjs', import.meta.url));

/** Everything that runs, each part started again after it was killed. */
class Outfit {
  readonly #plan: FaultPlan;
  readonly #file: string;
  readonly #workers: ChildProcess[] = [];
  #server: Program | null = null;
  #ended = false;

  constructor(plan: FaultPlan, file: string) {
    this.#plan = plan;
    this.#file = file;
  }

  readonly url = (): string => this.#server?.url ?? 'http://127.0.0.1:1';

  async startServer(): Promise<void> {
    this.#server = null;
    // while the database is down it ends with what is wrong, and is started again, as the system does it
    while (this.#server === null) {
      this.#server = await serve('--database-file', this.#file, '--threads', '0').catch(() => null);
      if (this.#server === null) await setTimeout(200);
    }
  }

  startWorker(i: number): void {
    const child = spawn(process.execPath, [worker, this.#file, String(LEASE_MS)], { stdio: 'ignore' });
    this.#workers[i] = child;
    child.once('exit', () => {
      if (!this.#ended) this.startWorker(i);
    });
  }

  async start(): Promise<void> {
    await this.startServer();
    for (let i = 0; i < WORKERS; i += 1) this.startWorker(i);
  }

  async kill(victim: Victim): Promise<void> {
    if (victim === 'server') {
      await this.#server?.end('SIGKILL');
      await this.startServer();
    } else if (victim === 'worker') {
      this.#workers[Math.floor(this.#plan.random() * WORKERS)]?.kill('SIGKILL');
    } else {
      await this.#plan.postgres.kill();
      await setTimeout(this.#plan.random() * 500);
      await this.#plan.postgres.start();
    }
  }

  async end(): Promise<void> {
    this.#ended = true;
    for (const child of this.#workers) {
      const ended = child.exitCode === null && child.signalCode === null ? once(child, 'exit') : null;
      child.kill('SIGKILL');
      await ended;
    }
    await this.#server?.end('SIGTERM');
  }
}

/** A station that decides and photographs until the end, and sends again what was not acknowledged. */
async function work(station: Station, isOver: () => boolean): Promise<void> {
  const [first = ''] = station.photos;
  for (let turn = 0; !isOver(); turn += 1) {
    // photos that take their time, so that most kills find some under way
    if (turn % 2 === 0) await station.sendPhoto('slow.png', await smallPhoto(turn % 255)).catch(() => null);
    else await station.decideForSure(station.nextNote(first), isOver);
    await setTimeout(50);
  }
}

/** Waits until something holds, and tells whether it did in time. */
async function holds(seconds: number, check: () => Promise<boolean>): Promise<boolean> {
  const until = Date.now() + 1000 * seconds;
  while (Date.now() < until) {
    if (await check()) return true;
    await setTimeout(200);
  }
  return false;
}

const acknowledged = (stations: readonly Station[]): number =>
  stations.reduce((sum, { decisions }) => sum + decisions.length, 0);

async function compare(file: string, stations: readonly Station[]): Promise<Omit<FaultFigures, 'kills'>> {
  const errors: string[] = [];
  const store = await openStore(file);
  try {
    const quiet = async (): Promise<boolean> =>
      (await store.jobs.list()).every(({ state }) => state !== 'waiting' && state !== 'running');
    if (!(await holds(300, quiet))) errors.push('photos still wait five minutes after the last kill');
    const jobs = await store.jobs.list();
    for (const { sample, decisions, photos, name } of stations) {
      const kept = await store.decisions.ofSample(sample);
      const ids = kept.map(({ id }) => id);
      if (new Set(ids).size !== ids.length) errors.push(`${name}: a decision is there twice`);
      if (kept.some(({ order }, i) => order !== i + 1)) errors.push(`${name}: decisions are numbered with gaps`);
      // the last one may be kept though its answer was lost
      if (
        JSON.stringify(ids.slice(0, decisions.length)) !== JSON.stringify(decisions) ||
        ids.length > decisions.length + 1
      )
        errors.push(`${name}: ${String(ids.length)} decisions are kept, ${String(decisions.length)} were acknowledged`);
      for (const photo of photos) {
        const counts = await store.detections.ofPhoto(photo);
        if (counts.length !== 1) errors.push(`${name}: photo ${photo} has ${String(counts.length)} counts`);
      }
    }
    errors.push(...jobs.filter(({ state }) => state === 'failed').map(({ reason }) => `failed: ${String(reason)}`));
    errors.push(...(await store.check()).map(({ message }) => message));
    return {
      decisions: acknowledged(stations),
      photos: stations.reduce((sum, { photos }) => sum + photos.length, 0),
      begunAgain: jobs.filter(({ attempts }) => attempts > 1).length,
      errors,
    };
  } finally {
    await store.close();
  }
}

/** Kills server, workers and database at chance moments while stations work, then compares their ledgers with what is kept. */
export async function runFaults(plan: FaultPlan): Promise<FaultFigures> {
  const { postgres, folder, random, between } = plan;
  mkdirSync(folder, { recursive: true });
  const file = join(folder, 'place.json');
  const place = { database: await postgres.newDatabase(), photos: join(folder, 'photos'), folder: join(folder, 'own') };
  writeFileSync(file, JSON.stringify(place));
  const outfit = new Outfit(plan, file);
  await outfit.start();
  const kills: Record<Victim, number> = { server: 0, worker: 0, database: 0 };
  const stations = Array.from({ length: plan.stations }, (_, i) => new Station(`Station ${String(i + 1)}`, outfit.url));
  try {
    for (const station of stations) {
      await station.begin();
      await station.sendPhoto('first.png', await smallPhoto(255));
    }
    for (const station of stations) await station.counted(station.photos[0] ?? '');
    let over = false;
    const refused: string[] = [];
    const working = stations.map((station) =>
      work(station, () => over).catch((error: unknown) => refused.push(String(error))),
    );
    for (let kill = 0; kill < plan.kills; kill += 1) {
      await setTimeout(between[0] + random() * (between[1] - between[0]));
      const victim = VICTIMS[Math.floor(random() * VICTIMS.length)] ?? 'server';
      kills[victim] += 1;
      await outfit.kill(victim);
      // the next kill has to find them at work again
      const before = acknowledged(stations);
      if (!(await holds(120, async () => acknowledged(stations) > before)))
        refused.push(`nothing was acknowledged for two minutes after the ${victim} was killed`);
    }
    await setTimeout(1000);
    over = true;
    await Promise.all(working);
    const figures = await compare(file, stations);
    return { kills, ...figures, errors: [...refused, ...figures.errors] };
  } finally {
    await outfit.end();
  }
}
