import { setTimeout } from 'node:timers/promises';
import { BASE } from '@veligrid/api';
import { newSample, photoForm } from '../support.ts';

/** An answer of the server. */
export interface Got {
  readonly status: number;
  readonly json: any;
  /** Until the whole answer was there. */
  readonly ms: number;
}

/** One station with its own sample, and all that the server acknowledged to it, in order. */
export class Station {
  readonly name: string;
  sample = '';
  readonly photos: string[] = [];
  readonly decisions: string[] = [];
  /** What it was told when the server could not do what was asked, and how often. */
  readonly refusals = new Map<string, number>();
  /** The longest time until an answer, ms. */
  longestMs = 0;
  readonly #url: () => string;
  #made = 0;

  /** @param url where the server is now */
  constructor(name: string, url: () => string) {
    this.name = name;
    this.#url = url;
  }

  /** @throws when the connection breaks, as the server was killed */
  async send(method: string, path: string, body?: object | FormData): Promise<Got> {
    const json = body === undefined || body instanceof FormData ? {} : { 'Content-Type': 'application/json' };
    const start = performance.now();
    const answer = await fetch(`${this.#url()}${BASE}${path}`, {
      method,
      headers: { 'Sec-Fetch-Site': 'same-origin', Cookie: `veligrid-name=${this.name}`, ...json },
      ...(body === undefined ? {} : { body: body instanceof FormData ? body : JSON.stringify(body) }),
    });
    const text = await answer.text();
    const got = { status: answer.status, json: text === '' ? null : JSON.parse(text), ms: performance.now() - start };
    this.longestMs = Math.max(this.longestMs, got.ms);
    // what the system said stands in brackets, and differs each time
    const told = String(got.json?.detail).replace(/ \(.*\)/, '');
    if (got.status >= 500) this.refusals.set(told, (this.refusals.get(told) ?? 0) + 1);
    return got;
  }

  async begin(): Promise<void> {
    const tank = await this.send('POST', '/tanks', { name: this.name });
    const sample = await this.send('POST', '/samples', newSample(tank.json.id as string));
    if (sample.status !== 201) throw new Error(`no sample: ${JSON.stringify(sample.json)}`);
    this.sample = sample.json.id as string;
  }

  /** Sends a photo once: whether it arrived is known only when the answer came. */
  async sendPhoto(name: string, photo: Buffer): Promise<Got> {
    const got = await this.send('POST', `/samples/${this.sample}/photos`, photoForm({ [name]: photo }));
    if (got.status === 201) this.photos.push(...(got.json.photos as { id: string }[]).map(({ id }) => id));
    return got;
  }

  /** Waits until a photo is counted, which is when something can be decided on it. */
  async counted(photo: string): Promise<void> {
    for (;;) {
      const { json } = await this.send('GET', `/photos/${photo}`);
      if (json.state === 'failed') throw new Error(`photo ${photo} failed: ${String(json.why)}`);
      if (json.state === 'counted') return;
      await setTimeout(300);
    }
  }

  /** A note on a photo, with an id of its own. */
  nextNote(photo: string): { readonly id: string } {
    this.#made += 1;
    // long enough that a disk is soon full of them
    const text = 'looked at '.repeat(90);
    return { id: `${this.name} ${String(this.#made)}`, kind: 'note', photo, text } as { readonly id: string };
  }

  /** Sends one decision after the last one that was acknowledged. */
  async decide(decision: { readonly id: string }): Promise<Got> {
    const body = { expectedOrder: this.decisions.length, decisions: [decision] };
    const got = await this.send('POST', `/samples/${this.sample}/decisions`, body);
    if (got.status < 300) this.decisions.push(decision.id);
    return got;
  }

  /** Sends it again and again, as the viewer does, until somebody acknowledges it. */
  async decideForSure(decision: { readonly id: string }, isOver: () => boolean): Promise<void> {
    while (!isOver()) {
      const got = await this.decide(decision).catch(() => null);
      if (got !== null && got.status < 300) return;
      if (got !== null && got.status < 500) throw new Error(`${decision.id}: ${JSON.stringify(got.json)}`);
      await setTimeout(100);
    }
  }

  /** The decisions that the server has. */
  async kept(): Promise<string[]> {
    const got = await this.send('GET', `/samples/${this.sample}/decisions`);
    return (got.json.decisions as { id: string }[]).map(({ id }) => id);
  }
}
