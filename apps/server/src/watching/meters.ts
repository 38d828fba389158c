import { Counter, Gauge, Histogram, Registry } from 'prom-client';
import type { Job, Store } from '@veligrid/storage';
import { freeSpace } from './free-space.js';

/** Upper edges of the times, seconds: an answer takes milliseconds, a count seconds, a full queue hours. */
const SECONDS = [0.005, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 30, 60, 300, 1800, 7200];

/** How long the sums over all samples are good for, ms: they read every sample. */
const SUMS_GOOD_FOR_MS = 60_000;

/** What the server notes about itself while it runs. */
export interface Meters {
  /** A job began or ended. */
  readonly jobChanged: (job: Job) => void;
  /** A request was answered. @param route as published, such as `/samples/{sample}` */
  readonly answered: (route: string, seconds: number) => void;
  /** A request was refused. @param kind of the problem */
  readonly refused: (kind: string) => void;
  /** Everything in the text format of Prometheus, with its media type. */
  readonly text: () => Promise<{ readonly type: string; readonly text: string }>;
  readonly registry: Registry;
}

interface Sums {
  readonly counted: number;
  readonly open: number;
  readonly objects: number;
  readonly decisions: number;
}

/** Sums over all samples, read again once a minute at most. */
function sumsOf(store: Store, now: () => number): () => Promise<Sums> {
  let last: { readonly at: number; readonly sums: Promise<Sums> } | null = null;
  const read = async (): Promise<Sums> => {
    const all = await store.samples.overview();
    return {
      counted: all.reduce((sum, { countedPhotos }) => sum + countedPhotos, 0),
      open: all.reduce((sum, { photos, countedPhotos }) => sum + photos - countedPhotos, 0),
      objects: all.reduce((sum, { counted }) => sum + counted, 0),
      decisions: all.reduce((sum, { lastDecision }) => sum + lastDecision, 0),
    };
  };
  return () => {
    if (last === null || Math.abs(now() - last.at) > SUMS_GOOD_FOR_MS) last = { at: now(), sums: read() };
    return last.sums;
  };
}

function addSums(registers: Registry[], store: Store, now: () => number): void {
  const sums = sumsOf(store, now);
  new Gauge({
    name: 'veligrid_photos',
    help: 'Photos kept: counted, and not counted yet (waiting, failed or stopped)',
    labelNames: ['state'],
    registers,
    async collect() {
      const { counted, open } = await sums();
      this.set({ state: 'counted' }, counted);
      this.set({ state: 'uncounted' }, open);
    },
  });
  new Gauge({
    name: 'veligrid_objects_counted',
    help: 'Objects counted on all photos, before any decision',
    registers,
    async collect() {
      this.set((await sums()).objects);
    },
  });
  new Gauge({
    name: 'veligrid_decisions',
    help: 'Decisions of staff; divided by veligrid_objects_counted it is the correction rate',
    registers,
    async collect() {
      this.set((await sums()).decisions);
    },
  });
}

function addQueue(registers: Registry[], store: Store, now: () => number): void {
  new Gauge({
    name: 'veligrid_queue_photos',
    help: 'Photos in the queue',
    labelNames: ['state'],
    registers,
    async collect() {
      for (const state of ['waiting', 'running'] as const)
        this.set({ state }, (await store.jobs.list({ state })).length);
    },
  });
  new Gauge({
    name: 'veligrid_queue_oldest_seconds',
    help: 'How long the photo that has waited longest has waited; 0 when none waits',
    registers,
    async collect() {
      const [oldest] = await store.jobs.list({ state: 'waiting' });
      this.set(oldest === undefined ? 0 : Math.max(0, now() - Date.parse(oldest.addedAt)) / 1000);
    },
  });
  new Gauge({
    name: 'veligrid_disk_free_bytes',
    help: 'Room on the disk of the hatchery folder',
    registers,
    async collect() {
      this.set(await freeSpace(store.cacheFolder));
    },
  });
  const { photoFolder } = store;
  if (photoFolder === null) return;
  new Gauge({
    name: 'veligrid_photos_free_bytes',
    help: 'Room on the disk of the photos',
    registers,
    async collect() {
      this.set(await freeSpace(photoFolder));
    },
  });
}

/** Notes how long a photo waited and was counted, by the moments the queue kept. */
function jobMeter(registers: Registry[]): Meters['jobChanged'] {
  const steps = new Histogram({
    name: 'veligrid_step_seconds',
    help: 'Time of a photo in each step: wait in the queue, count by a worker',
    labelNames: ['step'],
    buckets: SECONDS,
    registers,
  });
  const ended = new Counter({
    name: 'veligrid_counts_ended_total',
    help: 'Counts that ended since the start, by how: done, failed, cancelled, or waiting when handed back',
    labelNames: ['state'],
    registers,
  });
  const begun = new Map<string, number>();
  return ({ id, state, addedAt, changedAt }) => {
    const at = Date.parse(changedAt);
    if (state === 'running') {
      begun.set(id, at);
      steps.observe({ step: 'wait' }, Math.max(0, at - Date.parse(addedAt)) / 1000);
      return;
    }
    const from = begun.get(id);
    begun.delete(id);
    ended.inc({ state });
    if (state === 'done' && from !== undefined) steps.observe({ step: 'count' }, Math.max(0, at - from) / 1000);
  };
}

/** The meters of one server, none of which names a person, a tank or a file. */
export function createMeters(store: Store, now: () => number = Date.now): Meters {
  const registry = new Registry();
  const registers = [registry];
  addSums(registers, store, now);
  addQueue(registers, store, now);
  const answers = new Histogram({
    name: 'veligrid_answer_seconds',
    help: 'Time from a request to the end of its answer',
    labelNames: ['route'],
    buckets: SECONDS,
    registers,
  });
  const refusals = new Counter({
    name: 'veligrid_problems_total',
    help: 'Requests refused or failed, by the code of the problem',
    labelNames: ['kind'],
    registers,
  });
  return {
    jobChanged: jobMeter(registers),
    answered: (route, seconds) => {
      answers.observe({ route }, seconds);
    },
    refused: (kind) => {
      refusals.inc({ kind });
    },
    text: async () => ({ type: registry.contentType, text: await registry.metrics() }),
    registry,
  };
}
