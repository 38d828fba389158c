import type { Photo, PhotoEvent, Sample } from '@veligrid/api';
import type { PhotoCount } from '@veligrid/model';
import { batch, signal, type Signal } from '@preact/signals';
import { applyDecision, viewOf, type Decision, type ReviewedPhoto } from '@veligrid/review';
import { addressOf, ask } from '../api/ask.js';
import { problemWords } from '../words/problem-words.js';
import { say } from '../words/say.js';
import { announce } from './announce.js';
import { DecisionLog } from './decision-log.js';
import { logOfPhoto, photoOf } from './log-of-photo.js';
import { place } from './place.js';
import { session } from './session.js';

/** One sample as it is open in this page: its photos, what was found and decided, kept up to date by the server. */
export class OpenSample {
  readonly id: string;
  readonly sample: Signal<Sample | null> = signal(null);
  readonly photos: Signal<readonly Photo[]> = signal([]);
  /** Photos as they stand, by id, once their detections are here. */
  readonly reviewed: Signal<ReadonlyMap<string, ReviewedPhoto>> = signal(new Map<string, ReviewedPhoto>());
  /** A fault that keeps the sample from being shown, in words. */
  readonly trouble: Signal<string | null> = signal(null);
  readonly decisions: DecisionLog;
  readonly #counts = new Map<string, { readonly hash: string; readonly count: PhotoCount }>();
  /** Hash of the count that was asked for last, by photo. */
  readonly #asked = new Map<string, string>();
  #events: EventSource | null = null;

  constructor(id: string) {
    this.id = id;
    this.decisions = new DecisionLog({
      sample: id,
      shelf: localStorage,
      who: () => session.value?.who ?? '',
      server: {
        load: (known) =>
          ask<'getDecisions'>('get', '/samples/{sample}/decisions', { at: { sample: id }, query: { after: known } }),
        store: (expectedOrder, decisions) =>
          ask<'addDecisions'>('post', '/samples/{sample}/decisions', {
            at: { sample: id },
            body: { expectedOrder, decisions: [...decisions] },
          }),
      },
      onChange: (added) => {
        this.#decided(added);
      },
      onRefused: (problem) => {
        announce(say('decide.refused', { why: problemWords(problem) }), 'trouble');
      },
    });
  }

  /** Loads everything and follows what happens. */
  async open(): Promise<void> {
    const at = { sample: this.id };
    const [sample, { photos }] = await Promise.all([
      ask<'getSample'>('get', '/samples/{sample}', { at }),
      ask<'listPhotos'>('get', '/samples/{sample}/photos', { at }),
    ]);
    batch(() => {
      this.sample.value = sample;
      this.photos.value = photos;
    });
    this.#follow();
    await Promise.all([this.decisions.catchUp(), this.#loadCounts()]);
  }

  /** Asks for the sample again, after it was changed or signed off. */
  async reload(): Promise<void> {
    this.sample.value = await ask<'getSample'>('get', '/samples/{sample}', { at: { sample: this.id } });
  }

  /** Takes a photo's new state, a new photo too. */
  setPhoto(photo: Photo): void {
    const others = this.photos.value.filter(({ id }) => id !== photo.id);
    const at = this.photos.value.findIndex(({ id }) => id === photo.id);
    this.photos.value = at < 0 ? [...others, photo] : others.toSpliced(at, 0, photo);
    if (photo.count !== null) void this.#loadCount(photo);
  }

  /** Stops following. */
  close(): void {
    this.#events?.close();
    this.decisions.close();
  }

  #follow(): void {
    const events = new EventSource(addressOf('/samples/{sample}/events', { sample: this.id }));
    this.#events = events;
    type Data<Name extends PhotoEvent['event']> = Extract<PhotoEvent, { event: Name }>['data'];
    const on = <Name extends PhotoEvent['event']>(name: Name, take: (data: Data<Name>) => void): void => {
      events.addEventListener(name, ({ data }: MessageEvent<string>) => {
        take(JSON.parse(data) as Data<Name>);
      });
    };
    on('photo', (photo) => {
      this.setPhoto(photo);
    });
    on('progress', ({ photo, done }) => {
      this.photos.value = this.photos.value.map((one) =>
        one.id === photo ? { ...one, done, state: one.state === 'waiting' ? 'counting' : one.state } : one,
      );
    });
    on('decisions', ({ order }) => {
      if (order > this.decisions.order) void this.decisions.catchUp().catch(() => undefined);
    });
    on('sample', () => void this.reload().catch(() => undefined));
    // Back again after an interruption: others may have decided meanwhile, and own decisions may wait.
    events.addEventListener('open', () => void this.decisions.catchUp().catch(() => undefined));
  }

  async #loadCounts(): Promise<void> {
    // the photo that is open comes first: somebody waits for it
    const here = place.peek();
    const open = here.screen === 'slide' ? here.photo : null;
    const inTurn = this.photos.value.toSorted((a, b) => Number(b.id === open) - Number(a.id === open));
    for (const photo of inTurn) await this.#loadCount(photo);
  }

  async #loadCount({ id, count: hash }: Photo): Promise<void> {
    if (hash === null || this.#asked.get(id) === hash) return;
    this.#asked.set(id, hash);
    const asked = ask<'getDetections'>('get', '/photos/{photo}/detections', {
      at: { photo: id },
      query: { features: 'shown' },
    });
    const found = await asked.catch((error: unknown) => {
      this.#asked.delete(id);
      throw error;
    });
    this.#counts.set(id, { hash, count: { ...found, photo: id } });
    this.#review(id);
  }

  #review(id: string): void {
    const known = this.#counts.get(id);
    if (known === undefined) return;
    const log = logOfPhoto(this.decisions.log.value, id);
    const [photo] = viewOf([known.count], log);
    if (photo !== undefined) this.reviewed.value = new Map(this.reviewed.value).set(id, photo);
  }

  /** After one decision only its photo is looked at anew, and a plain one is applied to what stands. */
  #decided(added: Decision | null): void {
    if (added === null) {
      for (const id of this.#counts.keys()) this.#review(id);
      return;
    }
    const id = photoOf(this.decisions.log.value, added);
    const stands = id === null ? undefined : this.reviewed.value.get(id);
    if (id === null || stands === undefined) return;
    if (added.kind === 'undo' || added.kind === 'redo') {
      this.#review(id);
      return;
    }
    const [photo] = applyDecision([stands], added);
    if (photo !== undefined) this.reviewed.value = new Map(this.reviewed.value).set(id, photo);
  }
}
