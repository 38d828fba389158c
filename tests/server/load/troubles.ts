import { join } from 'node:path';
import { otherClock, withoutOtherClocks, type OtherClock } from '../../support/other-clock.js';
import { startPostgres, type PrivatePostgres } from '../../support/private-postgres.js';
import { shakyNetwork, type ShakyNetwork } from '../../support/shaky-network.js';
import { slowDisk, withoutSlowDisks } from '../../support/slow-disk.js';
import { smallDisk, withoutSmallDisks, type SmallDisk } from '../../support/small-disk.js';
import { Outfit } from './outfit.js';

/** Programs that have a way to the database and a clock of their own. */
const PROGRAMS = ['server', 'worker 1', 'worker 2'] as const;
type ProgramName = (typeof PROGRAMS)[number];

/** What may be wrong for a while. */
export type Trouble =
  /** Half-open connections: nothing passes and nothing is closed, then all goes on where it stopped. */
  | { readonly kind: 'stalled'; readonly of: ProgramName }
  /** Half-open connections that never pass anything again, while new ones do. */
  | { readonly kind: 'lost'; readonly of: ProgramName }
  | { readonly kind: 'cut'; readonly of: ProgramName }
  /** Each answer of the database takes so long, ms. */
  | { readonly kind: 'slow'; readonly of: ProgramName; readonly ms: readonly [least: number, most: number] }
  | { readonly kind: 'full'; readonly disk: 'photos' | 'own' | 'database' }
  /** Each wait for the disk takes so much longer, ms: of the photos, or of the database. */
  | { readonly kind: 'slow disk'; readonly disk: 'photos' | 'database'; readonly ms: number }
  /** The clock is set, and stays so: hours ahead of the true time. */
  | { readonly kind: 'clock'; readonly of: ProgramName | 'database'; readonly hours: number };

/** Megabytes of the disks: that of the database holds what it is made with, some 60, and what a few minutes add. */
const ROOM = { photos: 32, own: 32, database: 220 } as const;

/** Whether this machine lacks something that troubles need. */
export const withoutTroubles: boolean = withoutOtherClocks || withoutSmallDisks;

type Disks = Readonly<Record<keyof typeof ROOM, SmallDisk>>;

/** A server, two workers and a database whose disks, clocks and ways can be spoiled. */
export class TroubledOutfit {
  readonly outfit: Outfit;
  readonly #postgres: PrivatePostgres;
  readonly #disks: Disks;
  readonly #networks: Readonly<Record<ProgramName, ShakyNetwork>>;
  readonly #clocks: Readonly<Record<ProgramName | 'database', OtherClock>>;
  readonly #random: () => number;

  private constructor(
    outfit: Outfit,
    around: {
      readonly postgres: PrivatePostgres;
      readonly disks: Disks;
      readonly networks: Readonly<Record<ProgramName, ShakyNetwork>>;
      readonly clocks: Readonly<Record<ProgramName | 'database', OtherClock>>;
      readonly random: () => number;
    },
  ) {
    this.outfit = outfit;
    this.#postgres = around.postgres;
    this.#disks = around.disks;
    this.#networks = around.networks;
    this.#clocks = around.clocks;
    this.#random = around.random;
  }

  static async start(random: () => number, standStillMs?: number): Promise<TroubledOutfit> {
    const disks = { photos: smallDisk(ROOM.photos), own: smallDisk(ROOM.own), database: smallDisk(ROOM.database) };
    const clocks = {
      server: otherClock(),
      'worker 1': otherClock(),
      'worker 2': otherClock(),
      database: otherClock('one'),
    };
    // little log kept for reuse, so that a full disk is noticed by the log too
    const settings = ['min_wal_size=32MB', 'max_wal_size=64MB'];
    const { environment } = clocks.database;
    const postgres = await startPostgres({ within: disks.database.folder, environment, settings });
    const way = (): Promise<ShakyNetwork> => shakyNetwork(postgres.socketPath);
    const networks = { server: await way(), 'worker 1': await way(), 'worker 2': await way() };
    const around = (of: ProgramName): { environment: OtherClock['environment']; network: ShakyNetwork } => ({
      environment: clocks[of].environment,
      network: networks[of],
    });
    const outfit = await Outfit.start({
      postgres,
      photos: join(disks.photos.folder, 'photos'),
      folder: join(disks.own.folder, 'own'),
      ...(standStillMs === undefined ? {} : { standStillMs }),
      server: around('server'),
      workers: [around('worker 1'), around('worker 2')],
    });
    return new TroubledOutfit(outfit, { postgres, disks, networks, clocks, random });
  }

  /** Begins a trouble. @returns what ends it */
  async begin(trouble: Trouble): Promise<() => Promise<void> | void> {
    switch (trouble.kind) {
      case 'stalled':
      case 'lost':
      case 'cut':
      case 'slow':
        return this.#spoilWay(trouble);
      case 'full':
        this.#disks[trouble.disk].fill();
        return () => this.#makeRoom(trouble.disk);
      case 'slow disk': {
        const pid = trouble.disk === 'photos' ? this.outfit.serverPid : this.#postgres.pid();
        const slow = await slowDisk([pid ?? 0], trouble.ms);
        return () => slow.undo();
      }
      case 'clock':
        this.#clocks[trouble.of].set(trouble.hours);
        return () => undefined;
    }
  }

  #spoilWay(trouble: Extract<Trouble, { kind: 'stalled' | 'lost' | 'cut' | 'slow' }>): () => void {
    const network = this.#networks[trouble.of];
    if (trouble.kind === 'stalled') network.stall();
    else if (trouble.kind === 'lost') network.lose();
    else if (trouble.kind === 'cut') network.drop();
    else {
      const [least, most] = trouble.ms;
      network.slow(() => least + this.#random() * (most - least));
    }
    return () => {
      network.heal();
    };
  }

  async #makeRoom(disk: keyof typeof ROOM): Promise<void> {
    this.#disks[disk].free();
    // a database that could not even write its log has ended itself; whoever made room starts it again
    if (disk === 'database' && this.#postgres.pid() === null) await this.#postgres.start();
  }

  async end(): Promise<void> {
    await this.outfit.end();
    for (const network of Object.values(this.#networks)) await network.close();
    await this.#postgres.remove();
    for (const disk of Object.values(this.#disks)) disk.remove();
    for (const clock of Object.values(this.#clocks)) clock.remove();
  }
}

/** Every trouble by what it is called in reports, drawn anew each time. */
export function drawTrouble(random: () => number): Trouble {
  const one = <T>(of: readonly T[]): T => of[Math.floor(random() * of.length)];
  const hours = (): number => Math.round((random() - 0.5) * 48);
  return one<() => Trouble>([
    () => ({ kind: 'stalled', of: one(PROGRAMS) }),
    () => ({ kind: 'lost', of: one(PROGRAMS) }),
    () => ({ kind: 'cut', of: one(PROGRAMS) }),
    () => ({ kind: 'slow', of: one(PROGRAMS), ms: [200, 1000] }),
    () => ({ kind: 'full', disk: one(['photos', 'own', 'database']) }),
    ...(withoutSlowDisks
      ? []
      : [
          (): Trouble => ({
            kind: 'slow disk',
            disk: one(['photos', 'database']),
            ms: Math.round(200 + 800 * random()),
          }),
        ]),
    () => ({ kind: 'clock', of: one([...PROGRAMS, 'database']), hours: hours() }),
  ])();
}
