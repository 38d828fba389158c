import { setTimeout } from 'node:timers/promises';
import { BASE } from '@veligrid/api';
import { openStore, type StorePlace } from '@veligrid/storage';
import { Station } from './station.js';

/** What is asked of a server. */
export interface LoadPlan {
  readonly url: string;
  /** Where its store is. */
  readonly place: StorePlace;
  readonly stations: number;
  readonly minutes: number;
  readonly photoEveryMs: number;
  readonly correctionEveryMs: number;
  /** Small photo that each station begins with, and waits for. */
  readonly first: Buffer;
  /** Photos that are sent in turn. */
  readonly photos: readonly Buffer[];
}

/** What came of it. */
export interface LoadFigures {
  readonly corrections: number;
  /** From sending to the whole answer, milliseconds. */
  readonly correctionMs: { readonly p50: number; readonly p95: number; readonly most: number };
  readonly photosSent: number;
  readonly photosCounted: number;
  /** Photos that wait or are being counted at the end. */
  readonly backlog: number;
  /** Events that the watching stations were told. */
  readonly events: number;
  /** Everything that was not as it should be. */
  readonly errors: readonly string[];
}

/** A quantile of sorted values. */
const quantile = (sorted: readonly number[], share: number): number =>
  sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? 0;

/** Does something again and again, each time when its moment has come, until the end. */
async function every(ms: number, offset: number, until: number, act: () => Promise<void>): Promise<void> {
  for (let at = performance.now() + offset; at < until; at += ms) {
    await setTimeout(Math.max(0, at - performance.now()));
    await act();
  }
}

/** Listens as an open viewer does, and counts what it is told. */
function listen(url: string, station: Station, stop: AbortSignal): { told: number } {
  const heard = { told: 0 };
  void (async () => {
    const answer = await fetch(`${url}${BASE}/samples/${station.sample}/events`, {
      headers: { Cookie: `veligrid-name=${station.name}` },
      signal: stop,
    });
    const decoder = new TextDecoder();
    for await (const chunk of answer.body ?? [])
      heard.told += decoder.decode(chunk as Uint8Array).split('event: ').length - 1;
  })().catch(() => undefined);
  return heard;
}

async function countedFirst(station: Station): Promise<readonly string[]> {
  const [photo = ''] = station.photos;
  await station.counted(photo);
  const { json } = await station.send('GET', `/photos/${photo}/detections`);
  return (json.detections as { id: string }[]).map(({ id }) => id);
}

/** Stations that send photos and corrections to a running server; then their ledgers are compared with what is kept. */
export async function runLoad(plan: LoadPlan): Promise<LoadFigures> {
  const { url, stations: many, minutes, photoEveryMs, correctionEveryMs } = plan;
  const errors: string[] = [];
  const stations = Array.from({ length: many }, (_, i) => new Station(`Station ${String(i + 1)}`, () => url));
  for (const station of stations) {
    await station.begin();
    await station.sendPhoto('first.jpg', plan.first);
  }
  const objects = await Promise.all(stations.map(countedFirst));
  const stop = new AbortController();
  const heard = stations.map((station) => listen(url, station, stop.signal));

  const until = performance.now() + minutes * 60_000;
  const took: number[] = [];
  let sent = 0;
  const tell = (what: string) => (error: unknown) => void errors.push(`${what}: ${String(error)}`);
  await Promise.all(
    stations.flatMap((station, i) => {
      const photo = station.photos[0] ?? '';
      const correct = async (): Promise<void> => {
        const n = station.decisions.length;
        const found = objects[i] ?? [];
        const object = found[n % Math.max(1, found.length)];
        const stage = Math.floor(n / Math.max(1, found.length)) % 2 === 0 ? 'umbo' : 'd-larva';
        const note = station.nextNote(photo);
        const decision = object === undefined ? note : { id: note.id, kind: 'relabel', photo, object, stage };
        const got = await station.decide(decision);
        took.push(got.ms);
        if (got.status >= 300) errors.push(`correction: ${String(got.status)} ${JSON.stringify(got.json)}`);
      };
      const photograph = async (): Promise<void> => {
        const next = plan.photos[sent % plan.photos.length];
        sent += 1;
        if (next === undefined) return;
        // another end makes another content: a photo that comes twice is kept once
        const unlike = Buffer.concat([next, Buffer.from(`station ${station.name} ${String(sent)}`)]);
        const got = await station.sendPhoto(`IMG_${String(sent)}.jpg`, unlike);
        if (got.status !== 201) errors.push(`photo: ${String(got.status)} ${JSON.stringify(got.json)}`);
      };
      return [
        every(correctionEveryMs, (i * correctionEveryMs) / many, until, correct).catch(tell('correction')),
        every(photoEveryMs, (i * photoEveryMs) / many, until, photograph).catch(tell('photo')),
      ];
    }),
  );
  stop.abort();

  for (const station of stations) {
    const kept = await station.kept();
    if (JSON.stringify(kept) !== JSON.stringify(station.decisions))
      errors.push(`${station.name}: ${String(kept.length)} decisions are kept of ${String(station.decisions.length)}`);
  }
  const store = await openStore(plan.place);
  try {
    const jobs = await store.jobs.list({ subjects: stations.flatMap(({ photos }) => photos) });
    const inState = (...states: string[]): number => jobs.filter(({ state }) => states.includes(state)).length;
    if (jobs.length !== sent + many) errors.push(`${String(jobs.length)} photos are kept of ${String(sent + many)}`);
    if (inState('failed') > 0) errors.push(`${String(inState('failed'))} photos failed`);
    const sorted = took.toSorted((a, b) => a - b);
    return {
      corrections: took.length,
      correctionMs: { p50: quantile(sorted, 0.5), p95: quantile(sorted, 0.95), most: sorted.at(-1) ?? 0 },
      photosSent: sent,
      photosCounted: inState('done') - many,
      backlog: inState('waiting', 'running'),
      events: heard.reduce((sum, { told }) => sum + told, 0),
      errors,
    };
  } finally {
    await store.close();
  }
}
