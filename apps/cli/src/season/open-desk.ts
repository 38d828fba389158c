import { openStore, type Store } from '@veligrid/storage';
import { VeligridError } from '@veligrid/model';
import type { Desk } from '@veligrid/season';

/** Options that all commands of the season have. */
export interface DeskOptions {
  /** Folder of the store. */
  readonly data: string;
  /** Prints JSON. */
  readonly json?: boolean;
}

/** Where there are accounts, only somebody who may count can say something. */
export async function checkBy(store: Store, by: string): Promise<void> {
  if (by.trim() === '') throw new VeligridError('bad-argument', 'by is empty: give the name of who says it.');
  const staff = (await store.staff.list()).filter(({ active }) => active);
  if (staff.length === 0) return;
  const who = await store.staff.named(by);
  if (who?.active === true && who.role !== 'viewer') return;
  const names = staff.filter(({ role }) => role !== 'viewer').map(({ name }) => name);
  throw new VeligridError('bad-argument', `"${by}" may not record here. Give one of: ${names.join(', ')}.`);
}

/** A desk on a store. */
export const deskOn = (store: Store, by: string, now: () => string = () => new Date().toJSON()): Desk => ({
  store,
  parts: store,
  by,
  now,
});

/** Opens a store to look at, and closes it again. */
export async function looking<T>({ data }: DeskOptions, look: (desk: Desk) => Promise<T>): Promise<T> {
  const store = await openStore(data, { create: false });
  try {
    return await look(deskOn(store, ''));
  } finally {
    await store.close();
  }
}

/** Opens a store to write in, made when missing, and closes it again. What `work` keeps is kept all or not at all. */
export async function recording<T>(
  { data, by }: DeskOptions & { readonly by: string },
  work: (desk: Desk) => Promise<T>,
): Promise<T> {
  const store = await openStore(data);
  try {
    await checkBy(store, by);
    return await store.together(() => work(deskOn(store, by)));
  } finally {
    await store.close();
  }
}
