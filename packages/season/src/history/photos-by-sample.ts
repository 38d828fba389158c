import type { Parts } from '@veligrid/storage';

/** A photo by its name, and the picture's SHA-256. */
export interface NamedPhoto {
  readonly photo: string;
  readonly picture: string;
}

/** Photos of all samples in two readings. */
export async function photosBySample({
  fillings,
  photos,
}: Pick<Parts, 'fillings' | 'photos'>): Promise<ReadonlyMap<string, readonly NamedPhoto[]>> {
  const samples = new Map((await fillings.list()).map(({ id, sampleId }) => [id, sampleId]));
  const bySample = new Map<string, NamedPhoto[]>();
  for (const { fillingId, name, sha256 } of await photos.list()) {
    const sample = samples.get(fillingId) ?? '';
    bySample.set(sample, [...(bySample.get(sample) ?? []), { photo: name, picture: sha256 }]);
  }
  return bySample;
}
