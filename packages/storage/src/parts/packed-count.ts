import { brotliCompressSync, brotliDecompressSync, constants, inflateRawSync } from 'node:zlib';
import { badArgument, VeligridError, type PhotoCount } from '@veligrid/model';
import { sha256Of } from '../append.js';
import { canonicalJson } from '../columns.js';

/** Brotli's quality 1: a third quicker than the quickest deflate, and smaller. */
const PACKING = {
  params: {
    [constants.BROTLI_PARAM_QUALITY]: 1,
    [constants.BROTLI_PARAM_MODE]: constants.BROTLI_MODE_TEXT,
  },
};

/** Counts kept by 0.1.0 before 2026-11-28 were packed by deflate. */
const UNPACKERS = [brotliDecompressSync, inflateRawSync];

/** A count ready to be kept. */
export interface PackedCount {
  readonly sha256: string;
  readonly payload: Uint8Array;
}

/** Packs a count. The same count gives the same SHA-256, whatever order its keys came in. */
export function packCount(count: PhotoCount): PackedCount {
  const text = canonicalJson(count);
  return { sha256: sha256Of(text), payload: brotliCompressSync(text, PACKING) };
}

/** The JSON text of a packed count, or null when it is not what its SHA-256 says. */
export function unpackedText({ sha256, payload }: PackedCount): string | null {
  for (const unpack of UNPACKERS) {
    try {
      const text = unpack(payload).toString('utf8');
      if (sha256Of(text) === sha256) return text;
    } catch {
      // packed another way, or damaged
    }
  }
  return null;
}

/** @throws VeligridError `store-failed` when it is not what was kept */
export function unpackCount(packed: PackedCount, photoId: string): PhotoCount {
  const text = unpackedText(packed);
  if (text === null) {
    const message = `The store is damaged: the count of photo ${photoId} is not what was kept. Run veligrid check, then restore a backup.`;
    throw new VeligridError('store-failed', message);
  }
  return JSON.parse(text) as PhotoCount;
}

/** Refuses what is no count of this photo. */
export function checkCount(photoId: string, count: PhotoCount): void {
  if (count.photo !== photoId) throw badArgument('the photo in a count', `its id ${photoId}`, count.photo);
  if (!Array.isArray(count.detections)) throw badArgument('the detections of a count', 'a list', count.detections);
}
