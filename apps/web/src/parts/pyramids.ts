import { ask } from '../api/ask.js';
import type { Tiles } from '../slide/picture.js';
import { tilesOf } from '../slide/tiles-of.js';

const known = new Map<string, Promise<Tiles>>();

/** The pyramid of a photo; asked for once. */
export function pyramidOf(photo: string): Promise<Tiles> {
  const before = known.get(photo);
  if (before !== undefined) return before;
  const asked = ask<'getPyramid'>('get', '/photos/{photo}/pyramid', { at: { photo } }).then(tilesOf);
  asked.catch(() => {
    known.delete(photo);
  });
  known.set(photo, asked);
  return asked;
}
