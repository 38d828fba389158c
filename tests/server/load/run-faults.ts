import { join } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import type { PrivatePostgres } from '../../support/private-postgres.js';
import { StationsAtWork, type Ledger } from './at-work.js';
import { Outfit } from './outfit.js';

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
export interface FaultFigures extends Ledger {
  readonly kills: Readonly<Record<Victim, number>>;
}

const VICTIMS = ['server', 'worker', 'database'] as const;
type Victim = (typeof VICTIMS)[number];

/** Kills server, workers and database at chance moments while stations work, then compares their ledgers with what is kept. */
export async function runFaults(plan: FaultPlan): Promise<FaultFigures> {
  const { postgres, folder, random, between } = plan;
  const outfit = await Outfit.start({ postgres, folder, photos: join(folder, 'photos') });
  const kill: Readonly<Record<Victim, () => Promise<void> | void>> = {
    server: () => outfit.killServer(),
    worker: () => {
      outfit.killWorker(random());
    },
    database: () => outfit.killDatabase(random() * 500),
  };
  const kills: Record<Victim, number> = { server: 0, worker: 0, database: 0 };
  const atWork = new StationsAtWork(plan.stations, outfit.url);
  try {
    await atWork.begin();
    for (let i = 0; i < plan.kills; i += 1) {
      await setTimeout(between[0] + random() * (between[1] - between[0]));
      const victim = VICTIMS[Math.floor(random() * VICTIMS.length)] ?? 'server';
      kills[victim] += 1;
      await kill[victim]();
      // the next kill has to find them at work again
      await atWork.goOn(`${victim} killed`);
    }
    return { kills, ...(await atWork.end(outfit.placeFile())) };
  } finally {
    await outfit.end();
  }
}
