import { createReadStream } from 'node:fs';
import { mkdir, readFile, rename, stat, writeFile } from 'node:fs/promises';
import { randomUUID } from 'node:crypto';
import { dirname, join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import { promisify } from 'node:util';
import { gunzip, gzip } from 'node:zlib';
import type { Request, Response } from 'express';
import type { PhotoCount } from '@veligrid/model';
import type { House } from '../house.js';

/** Features that the viewer tells people. */
const SHOWN_FEATURES: readonly string[] = ['eye_contrast'];

const [pack, unpack] = [promisify(gzip), promisify(gunzip)];

/** Level 1: the answer is made while somebody waits, and mostly goes to this machine or over the local network. */
const LEVEL = 1;

function shown(count: PhotoCount): PhotoCount {
  const detections = count.detections.map((one) => ({
    ...one,
    features: Object.fromEntries(Object.entries(one.features).filter(([name]) => SHOWN_FEATURES.includes(name))),
  }));
  return { ...count, detections };
}

const pathOf = ({ store }: House, id: string): string => join(store.cacheFolder, 'counts', `${id}.json.gz`);

const exists = (path: string): Promise<boolean> =>
  stat(path).then(
    () => true,
    () => false,
  );

/**
 * Makes the answer for the viewer unless it is there: a count never changes, so it is packed once and not at every
 * opening of a slide.
 *
 * @param read reads the count
 * @returns path of the gzip file; null when there is no such count
 */
export async function makeShownCount(
  house: House,
  id: string,
  read: () => Promise<PhotoCount | null>,
): Promise<string | null> {
  const path = pathOf(house, id);
  if (await exists(path)) return path;
  const count = await read();
  if (count === null) return null;
  const bytes = await pack(JSON.stringify(shown(count)), { level: LEVEL });
  await mkdir(dirname(path), { recursive: true });
  const work = `${path}.${randomUUID()}`;
  await writeFile(work, bytes);
  await rename(work, path);
  return path;
}

/** Sends it, packed where the browser takes that. */
export async function sendShownCount(req: Request, res: Response, path: string): Promise<void> {
  res.set({ 'Content-Type': 'application/json; charset=utf-8', Vary: 'Accept-Encoding' });
  if (req.acceptsEncodings('gzip') === false) {
    res.send(await unpack(await readFile(path)));
    return;
  }
  res.set('Content-Encoding', 'gzip');
  await pipeline(createReadStream(path), res);
}
