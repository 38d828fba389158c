import { VeligridError } from '@veligrid/model';
import type { Store } from './contract.js';

/** How a store is opened; clock and ids are handed in for tests. */
export interface OpenOptions {
  /** The time now; the machine's clock by default. */
  readonly now?: () => Date;
  /** A new id, never given before; a random UUID by default. */
  readonly newId?: () => string;
  /** Whether a missing store is made; true by default. */
  readonly create?: boolean;
}

/**
 * Opens the store in a folder. Several processes may have it open.
 *
 * @throws VeligridError `store-failed` when it can't be opened
 */
export function openStore(folder: string, _options: OpenOptions = {}): Promise<Store> {
  return Promise.reject(new VeligridError('store-failed', `No database is built in yet to open ${folder} with.`));
}
