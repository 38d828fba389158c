import type { OpenOptions, Store } from '@veligrid/storage';
import { afterEach, expect } from 'vitest';

/** Opens the same store again and again, as after a restart. */
export type Reopen = (options?: OpenOptions) => Promise<Store>;

/** A function that opens a store, a new one unless told, and closes all after each test. */
export function openForTest(place: () => Reopen): (reopen?: Reopen, options?: OpenOptions) => Promise<Store> {
  const open: Store[] = [];
  afterEach(async () => {
    for (const store of open.splice(0)) await store.close();
  });
  return async (reopen = place(), options = {}) => {
    const store = await reopen(options);
    open.push(store);
    return store;
  };
}

export const refusal = (code: string): object => expect.objectContaining({ name: 'VeligridError', code }) as object;
