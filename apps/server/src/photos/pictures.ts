import { createReadStream } from 'node:fs';
import { mkdir, rename, stat } from 'node:fs/promises';
import { randomUUID } from 'node:crypto';
import { join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import type { Response } from 'express';
import { BASE, type Photo, type Pyramid } from '@veligrid/api';
import { pyramidLevels, TILE_OVERLAP, TILE_SIZE } from '@veligrid/imaging';
import type { Call, Handlers } from '../http/call.js';
import { notThere } from '../http/problem-error.js';
import type { House } from '../house.js';
import { readPhoto } from '../samples/read-sample.js';

/** What a name of a picture may look like; nothing else reaches the file system. */
const HASH = /^[0-9a-f]{64}$/;
const NUMBER = /^\d{1,4}$/;

const YEAR_S = 31_536_000;

/** Pictures that are being made, so that many who ask at once wait for one. */
const underWay = new Map<string, Promise<void>>();

/** Pictures made at a time: each takes the memory of a decoded photo. */
const AT_A_TIME = 2;
let running = 0;
const waiting: (() => void)[] = [];

async function makeOnce(key: string, make: () => Promise<void>): Promise<void> {
  const inTurn = async (): Promise<void> => {
    if (running >= AT_A_TIME) await new Promise<void>((resolve) => waiting.push(resolve));
    running += 1;
    try {
      await make();
    } finally {
      running -= 1;
      waiting.shift()?.();
    }
  };
  const making = underWay.get(key) ?? inTurn().finally(() => underWay.delete(key));
  underWay.set(key, making);
  await making;
}

const exists = (path: string): Promise<boolean> =>
  stat(path).then(
    () => true,
    () => false,
  );

interface PictureName {
  readonly hash: string;
  readonly page: number;
}

function pictureName(params: Readonly<Record<string, string>>): PictureName {
  const { hash = '', page = '' } = params;
  if (!HASH.test(hash) || !NUMBER.test(page)) throw notThere('picture');
  return { hash, page: Number(page) };
}

async function photoPath(house: House, { hash }: PictureName): Promise<string> {
  if (!(await house.store.files.has(hash))) throw notThere('picture');
  return house.store.files.localPath(hash);
}

const folderOf = (house: House, { hash, page }: PictureName): string =>
  join(house.store.cacheFolder, 'pictures', hash.slice(0, 2), `${hash}-${String(page)}`);

/** A picture never changes under its name, so browsers need not ask again. */
async function sendPicture(res: Response, path: string): Promise<void> {
  res.set({ 'Content-Type': 'image/jpeg', 'Cache-Control': `private, max-age=${String(YEAR_S)}, immutable` });
  await pipeline(createReadStream(path), res);
}

/**
 * Makes the small picture unless it is there.
 *
 * @returns its path
 */
async function preview(house: House, name: PictureName): Promise<string> {
  const folder = folderOf(house, name);
  const path = join(folder, 'preview.jpg');
  if (await exists(path)) return path;
  await makeOnce(path, async () => {
    await mkdir(folder, { recursive: true });
    const work = join(folder, randomUUID());
    await house.pictures.preview(await photoPath(house, name), name.page, work);
    await rename(work, path);
  });
  return path;
}

/** Makes the small picture before anybody asks; what fails here fails again, with its reason, when somebody does. */
export function makePreviewSoon(house: House, name: PictureName): void {
  preview(house, name).catch(() => undefined);
}

async function tilesOf(house: House, name: PictureName): Promise<string> {
  const tiles = join(folderOf(house, name), 'tiles');
  if (await exists(tiles)) return tiles;
  await makeOnce(tiles, async () => {
    await house.pictures.pyramid(await photoPath(house, name), name.page, tiles);
  });
  return tiles;
}

/** Makes all that opening a slide needs, so that nobody waits for it. */
export async function makePictures(house: House, name: PictureName): Promise<void> {
  await preview(house, name);
  await tilesOf(house, name);
}

async function getTile({ house, params, res }: Call<'getTile'>): Promise<void> {
  const name = pictureName(params);
  const { level = '', column = '', row = '' } = params;
  if (![level, column, row].every((one) => NUMBER.test(one))) throw notThere('picture');
  const tiles = await tilesOf(house, name);
  const path = join(tiles, String(Number(level)), `${String(Number(column))}_${String(Number(row))}.jpeg`);
  if (!(await exists(path))) throw notThere('picture');
  await sendPicture(res, path);
}

/** How a picture is cut into squares, with the addresses of its pictures. */
export function pyramidOf({
  hash,
  page,
  widthPx,
  heightPx,
}: Pick<Photo, 'hash' | 'page' | 'widthPx' | 'heightPx'>): Pyramid {
  const base = `${BASE}/pictures/${hash}/${String(page)}`;
  return {
    widthPx,
    heightPx,
    tileSize: TILE_SIZE,
    overlap: TILE_OVERLAP,
    maxLevel: pyramidLevels(widthPx, heightPx),
    format: 'jpg',
    address: `${base}/{level}/{column}/{row}`,
    preview: `${base}/preview.jpg`,
  };
}

export const pictureHandlers: Handlers<'getPyramid' | 'getPreview' | 'getTile'> = {
  getPyramid: async ({ house, params }) => pyramidOf((await readPhoto(house, params['photo'])).photo),
  getPreview: async ({ house, params, res }) => {
    await sendPicture(res, await preview(house, pictureName(params)));
  },
  getTile,
};
