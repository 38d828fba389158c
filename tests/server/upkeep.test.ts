import { existsSync, mkdirSync, readdirSync, utimesSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { openStore } from '@veligrid/storage';
import { cleanCache } from '../../apps/server/src/upkeep/clean-cache.js';
import { startUpkeep } from '../../apps/server/src/upkeep/start-upkeep.js';
import { newFolder } from '../storage/new-folder.js';

/** Pictures of one page in a cache, last used in an hour of one day. */
function cached(cache: string, name: string, bytes: number, hour: number): string {
  const folder = join(cache, 'pictures', name.slice(0, 2), name);
  mkdirSync(join(folder, 'tiles', '0'), { recursive: true });
  for (const file of [join(folder, 'preview.jpg'), join(folder, 'tiles', '0', '0_0.jpeg')]) {
    writeFileSync(file, Buffer.alloc(bytes / 2));
    const used = new Date(Date.UTC(2026, 5, 3, hour));
    utimesSync(file, used, used);
  }
  return folder;
}

describe('the cache', () => {
  it('loses what was not looked at for longest, until it fits', async () => {
    const cache = newFolder();
    const [oldest, newest, middle] = [
      cached(cache, 'aa1', 400, 8),
      cached(cache, 'aa2', 400, 12),
      cached(cache, 'bb1', 400, 9),
    ];
    expect(await cleanCache(cache, 1200)).toBe(0);
    expect(await cleanCache(cache, 900)).toBe(400);
    expect([oldest, newest, middle].map((folder) => existsSync(folder))).toEqual([false, true, true]);
    expect(await cleanCache(cache, 0)).toBe(800);
    expect(readdirSync(join(cache, 'pictures'), { recursive: true }).toSorted()).toEqual(['aa', 'bb']);
  });

  it('loses what an earlier cleaning left half done; none is no cache to clean', async () => {
    const cache = newFolder();
    expect(await cleanCache(cache, 100)).toBe(0);
    mkdirSync(join(cache, 'pictures', 'going-1', 'tiles'), { recursive: true });
    expect(await cleanCache(cache, 100)).toBe(0);
    expect(readdirSync(join(cache, 'pictures'))).toEqual([]);
  });
});

describe('backups of a running server', () => {
  it('are made when they are due, and told when they fail', async () => {
    const store = await openStore(newFolder());
    const folder = join(newFolder(), 'backups');
    const faults: unknown[] = [];
    const once = async (hour: number, into = folder): Promise<void> => {
      const now = (): Date => new Date(Date.UTC(2026, 5, 3, hour));
      const backups = { folder: into, everyHours: 4, keep: 2 };
      const upkeep = startUpkeep(store, { backups, cacheBytes: 1e9, onFault: (fault) => faults.push(fault), now });
      await upkeep.stop();
    };
    for (const hour of [8, 11, 12, 13]) await once(hour);
    expect(readdirSync(folder)).toEqual(['veligrid-2026-06-03T080000Z', 'veligrid-2026-06-03T120000Z']);
    await once(17);
    expect(readdirSync(folder)).toEqual(['veligrid-2026-06-03T120000Z', 'veligrid-2026-06-03T170000Z']);
    expect(faults).toEqual([]);
    const file = join(newFolder(), 'file');
    writeFileSync(file, 'x');
    await once(20, join(file, 'no folder'));
    expect(faults).toHaveLength(1);
    await store.close();
  });
});
