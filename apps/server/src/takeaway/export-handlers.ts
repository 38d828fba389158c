import { randomUUID } from 'node:crypto';
import { mkdir, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import type { Handlers } from '../http/call.js';
import { zipFolder } from './zip-folder.js';

export const takeawayHandlers: Handlers<'exportSeason'> = {
  exportSeason: async ({ house, query, res }) => {
    // below the uploads: what a crash leaves there is removed at the next start
    await mkdir(house.uploadFolder, { recursive: true });
    const folder = join(house.uploadFolder, `export-${randomUUID()}`);
    try {
      await house.exportTo(folder, { withPictures: query.pictures === 'yes' });
      const day = house.now().toISOString().slice(0, 10);
      res.attachment(`veligrid-${day}.zip`).type('application/zip');
      await pipeline(Readable.from(zipFolder(folder)), res);
    } finally {
      await rm(folder, { recursive: true, force: true });
    }
  },
};
