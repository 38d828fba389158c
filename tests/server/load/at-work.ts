import { setTimeout } from 'node:timers/promises';
import { openStore, type StorePlace } from '@veligrid/storage';
import { smallPhoto } from '../support.ts';
import { Station } from './station.js';

/** What came of a bad day, by what the stations were told and what is kept. */
export interface Ledger {
  readonly decisions: number;
  readonly photos: number;
  /** Photos whose count was begun more than once. */
  readonly begunAgain: number;
  /** Everything that was lost, is there twice or is damaged. */
  readonly errors: readonly string[];
}

/** Waits until something holds, and tells whether it did in time. */
export async function holds(seconds: number, check: () => Promise<boolean>): Promise<boolean> {
  const until = Date.now() + 1000 * seconds;
  while (Date.now() < until) {
    if (await check()) return true;
    await setTimeout(200);
  }
  return false;
}

/** From one request to the next, ms for each station: one address may send 600 changes a minute. */
const PACE_MS = 110;

/** A station that decides and photographs until the end, and sends again what was not acknowledged. */
async function work(station: Station, paceMs: number, isOver: () => boolean): Promise<void> {
  const [first = ''] = station.photos;
  for (let turn = 0; !isOver(); turn += 1) {
    // photos that take their time, so that most troubles find some under way
    if (turn % 2 === 0) await station.sendPhoto('slow.png', await smallPhoto(turn % 255)).catch(() => null);
    else await station.decideForSure(station.nextNote(first), isOver);
    await setTimeout(paceMs);
  }
}

type OpenedStore = Awaited<ReturnType<typeof openStore>>;

/** What is wrong with the decisions that are kept. */
function compareDecisions(
  ids: readonly string[],
  orders: readonly number[],
  acknowledged: readonly string[],
): string[] {
  const errors: string[] = [];
  if (new Set(ids).size !== ids.length) errors.push('a decision is there twice');
  if (orders.some((order, i) => order !== i + 1)) errors.push('decisions are numbered with gaps');
  const same = JSON.stringify(ids.slice(0, acknowledged.length)) === JSON.stringify(acknowledged);
  // the last one may be kept though its answer was lost
  if (!same || ids.length > acknowledged.length + 1)
    errors.push(`${String(ids.length)} decisions are kept, ${String(acknowledged.length)} were acknowledged`);
  return errors;
}

async function compareStation(store: OpenedStore, { sample, decisions, photos, name }: Station): Promise<string[]> {
  const open = await store.samples.open(sample);
  if (open === null) return [`${name}: its sample is not there`];
  const ids = open.decisions.map(({ id }) => id);
  const orders = open.decisions.map(({ order }) => order);
  const errors = compareDecisions(ids, orders, decisions);
  const there = new Set(open.photos.map(({ id }) => id));
  const lost = photos.filter((id) => !there.has(id));
  if (lost.length > 0) errors.push(`${String(lost.length)} acknowledged photos are not there`);
  if (new Set(open.photos.map(({ sha256 }) => sha256)).size !== there.size) errors.push('a photo is there twice');
  for (const id of there) {
    const counts = await store.detections.ofPhoto(id);
    if (counts.length !== 1) errors.push(`photo ${id} has ${String(counts.length)} counts`);
  }
  return errors.map((error) => `${name}: ${error}`);
}

/** Compares what stations were told with what is kept, when all photos are counted. */
async function compare(place: StorePlace, stations: readonly Station[]): Promise<Ledger> {
  const store = await openStore(place);
  try {
    const errors: string[] = [];
    const quiet = async (): Promise<boolean> =>
      (await store.jobs.list()).every(({ state }) => state !== 'waiting' && state !== 'running');
    if (!(await holds(300, quiet))) errors.push('photos still wait five minutes after the last trouble');
    const jobs = await store.jobs.list();
    for (const station of stations) errors.push(...(await compareStation(store, station)));
    errors.push(...jobs.filter(({ state }) => state === 'failed').map(({ reason }) => `failed: ${String(reason)}`));
    errors.push(...(await store.check()).map(({ message }) => message));
    return {
      decisions: stations.reduce((sum, { decisions }) => sum + decisions.length, 0),
      photos: stations.reduce((sum, { photos }) => sum + photos.length, 0),
      begunAgain: jobs.filter(({ attempts }) => attempts > 1).length,
      errors,
    };
  } finally {
    await store.close();
  }
}

/** Stations that work until they are told to stop. */
export class StationsAtWork {
  readonly stations: readonly Station[];
  readonly #refused: string[] = [];
  #working: readonly Promise<unknown>[] = [];
  #over = false;

  /** @param url where the server is now */
  constructor(many: number, url: () => string) {
    this.stations = Array.from({ length: many }, (_, i) => new Station(`Station ${String(i + 1)}`, url));
  }

  async begin(): Promise<void> {
    for (const station of this.stations) {
      await station.begin();
      await station.sendPhoto('first.png', await smallPhoto(255));
    }
    for (const station of this.stations) await station.counted(station.photos[0] ?? '');
    this.#working = this.stations.map((station) =>
      work(station, PACE_MS * this.stations.length, () => this.#over).catch((error: unknown) =>
        this.#refused.push(String(error)),
      ),
    );
  }

  #acknowledged(): number {
    return this.stations.reduce((sum, { decisions }) => sum + decisions.length, 0);
  }

  /** Waits until they are at work again after a trouble. @returns how long it took, ms. @throws Error when one gave up */
  async goOn(after: string): Promise<number> {
    const [before, began] = [this.#acknowledged(), performance.now()];
    const again = await holds(120, async () => this.#acknowledged() > before || this.#refused.length > 0);
    const [refused = again ? null : 'nothing was acknowledged for two minutes'] = this.#refused;
    if (refused !== null) throw new Error(`after ${after}: ${refused}`);
    return performance.now() - began;
  }

  /** What they were told when something could not be done, and how often. */
  get refusals(): ReadonlyMap<string, number> {
    const all = new Map<string, number>();
    for (const { refusals } of this.stations)
      for (const [told, times] of refusals) all.set(told, (all.get(told) ?? 0) + times);
    return all;
  }

  wereTold(what: RegExp): boolean {
    return [...this.refusals.keys()].some((told) => what.test(told));
  }

  /** The longest time until an answer, ms. */
  get longestMs(): number {
    return Math.max(...this.stations.map(({ longestMs }) => longestMs));
  }

  /** Lets them end what they are at, and compares. @param place of all they did */
  async end(place: StorePlace): Promise<Ledger> {
    await setTimeout(1000);
    this.#over = true;
    await Promise.all(this.#working);
    const ledger = await compare(place, this.stations);
    return { ...ledger, errors: [...this.#refused, ...ledger.errors] };
  }
}
