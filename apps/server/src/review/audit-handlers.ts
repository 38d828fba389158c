import { createHash } from 'node:crypto';
import { z } from 'zod';
import type { Audit, Photo } from '@veligrid/api';
import { drawSquares } from '@veligrid/estimation';
import type { PhotoCount } from '@veligrid/model';
import type { Parts } from '@veligrid/storage';
import type { Call, Handlers } from '../http/call.js';
import { notThere, ProblemError } from '../http/problem-error.js';
import type { House } from '../house.js';
import { checkOpen, readPhoto } from '../samples/read-sample.js';
import { countsOf } from './counts.js';

/** One square in so many is audited. */
const ONE_IN = 5;

const tallies = z.record(z.string(), z.object({ animals: z.number().int(), by: z.string(), at: z.string() }));
type Tallies = z.output<typeof tallies>;

/** Setting that keeps what staff saw in the squares of a photo; every value ever stored stays in its history. */
const keyOf = (photoId: string): string => `audit:${photoId}`;

async function talliesOf({ settings }: Pick<Parts, 'settings'>, photoId: string): Promise<Tallies> {
  return tallies.parse((await settings.get(keyOf(photoId))) ?? {});
}

/** A whole number from a photo's id, so that its squares are drawn once and for all. */
const seedOf = (photoId: string): number => createHash('sha256').update(photoId).digest().readUInt32BE(0);

/** Numbers from 0 up to, not including, 1 (mulberry32, public domain). */
function numbersFrom(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

/** Squares that a photo is counted in. */
const squaresOf = ({ counting: { shape } }: PhotoCount): readonly string[] =>
  shape.kind === 'squares' ? shape.squares : [];

/** Audit of one photo: what was drawn, and what staff saw. */
export async function auditOf(house: House, count: PhotoCount): Promise<Audit> {
  const names = squaresOf(count);
  const seed = seedOf(count.photo);
  if (names.length === 0) return { seed, squares: [] };
  const drawn = drawSquares(names, Math.ceil(names.length / ONE_IN), numbersFrom(seed));
  const seen = await talliesOf(house.store, count.photo);
  const squares = drawn.map(({ name, blind }) => ({
    name,
    blind,
    cornersPx: (count.grid?.squares.find((one) => one.name === name)?.cornersPx ?? []).map(
      ([x, y]): [number, number] => [x, y],
    ),
    tally: seen[name] ?? null,
  }));
  return { seed, squares };
}

async function countedPhoto(house: House, photo: Photo): Promise<PhotoCount> {
  const [count] = await countsOf(house, [photo]);
  if (count === undefined) throw new ProblemError('refused', `${photo.name} is not counted yet. Wait until it is.`);
  return count;
}

async function tallySquare({ house, params, body, by }: Call<'tallySquare'>): Promise<Audit> {
  const { photo, of } = await readPhoto(house, params['photo']);
  checkOpen(of);
  const count = await countedPhoto(house, photo);
  const { squares } = await auditOf(house, count);
  const square = squares.find(({ name }) => name === params['square']);
  if (square === undefined) throw notThere('square among those drawn for auditing');
  const tally = { animals: body.animals, by, at: house.now().toISOString() };
  await house.store.together(async (parts) => {
    const changed = { ...(await talliesOf(parts, photo.id)), [square.name]: tally };
    await parts.settings.set(keyOf(photo.id), changed, { by });
  });
  return auditOf(house, count);
}

export const auditHandlers: Handlers<'getAudit' | 'tallySquare'> = {
  getAudit: async ({ house, params }) =>
    auditOf(house, await countedPhoto(house, (await readPhoto(house, params['photo'])).photo)),
  tallySquare,
};
