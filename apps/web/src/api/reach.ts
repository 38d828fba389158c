import { signal, type Signal } from '@preact/signals';
import { takeEarly } from './early.js';

/** The server can't be reached: nothing is wrong with what was asked. */
export class Unreachable extends Error {
  override readonly name = 'Unreachable';
}

/** Whether the server is asked again and again, as it does not answer. */
export const silent: Signal<boolean> = signal(false);

/** Answers of a proxy when the server behind it is away. */
const AWAY = [502, 503, 504];

const WAIT_MS = 1000;
/** Some ten minutes: a restart and an update take less. */
const MOST_TRIES = 600;

/** An answer whose text came whole. */
export interface Reached {
  readonly ok: boolean;
  readonly status: number;
  readonly statusText: string;
  readonly text: string;
}

async function once(address: string, request: RequestInit): Promise<Reached> {
  try {
    const early = request.method === 'GET' ? takeEarly(address) : undefined;
    const response = await (early ?? fetch(address, request));
    const { ok, status, statusText } = response;
    const text = await response.text();
    if (AWAY.includes(status)) throw new Error(text.slice(0, 200));
    silent.value = false;
    return { ok, status, statusText, text };
  } catch (error) {
    // who sends a change tells by itself what became of it
    if (request.method === 'GET') silent.value = true;
    throw new Unreachable('The server does not answer', { cause: error });
  }
}

/**
 * Sends a request. One that only asks is sent again until the server answers; one that changes something is not, as
 * whoever sends it must know what became of it.
 *
 * @throws Unreachable
 */
export async function reach(address: string, request: RequestInit): Promise<Reached> {
  for (let tries = 1; ; tries++) {
    try {
      return await once(address, request);
    } catch (error) {
      if (request.method !== 'GET' || tries >= MOST_TRIES) throw error;
      await new Promise((resolve) => setTimeout(resolve, WAIT_MS));
    }
  }
}
