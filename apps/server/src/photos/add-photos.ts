import { readFile, rm, writeFile } from 'node:fs/promises';
import { z } from 'zod';
import type { Uploaded } from '@veligrid/api';
import { removePlace, type PhotoPage } from '@veligrid/imaging';
import { VeligridError } from '@veligrid/model';
import type { FillingFields, Kept, StoredFile } from '@veligrid/storage';
import type { Call, SentFile } from '../http/call.js';
import type { Given } from '../http/given.js';
import { ProblemError } from '../http/problem-error.js';
import type { House } from '../house.js';
import { checkOpen, findSample, readSample, type ReadSample } from '../samples/read-sample.js';
import { COUNT_PHOTO } from './photo-state.js';
import { makePreviewSoon } from './pictures.js';

/** A file that passed and is kept. */
interface KeptFile {
  readonly name: string;
  readonly stored: StoredFile;
  readonly pages: readonly PhotoPage[];
  readonly field: string | null;
}

/** Looks at what was sent, takes the place out of it, and keeps it. */
async function keepFile(
  house: House,
  { path, name }: SentFile,
): Promise<{ stored: StoredFile; pages: readonly PhotoPage[] }> {
  const pages = await house.pictures.inspect(path, { name, maxPixels: house.uploadLimits.pixels });
  const bytes = await readFile(path);
  if (removePlace(bytes)) await writeFile(path, bytes);
  const stored = await house.store.files.put({ path });
  await rm(path, { force: true });
  return { stored, pages };
}

const fieldList = z.array(z.string().max(20).nullable()).max(50);

/** Drawn fields, one for each file; none when nothing was said. */
function fieldsOf(text: string | undefined, { answer }: ReadSample): readonly (string | null)[] {
  if (text === undefined || text === '') return [];
  let fields: readonly (string | null)[];
  try {
    fields = fieldList.parse(JSON.parse(text));
  } catch {
    throw new ProblemError('bad-request', 'fields: expected a JSON list with a field name or null for each photo.');
  }
  const drawn = answer.fields?.fields.map(({ name }) => name) ?? [];
  const unknown = fields.find((name) => name !== null && !drawn.includes(name));
  if (unknown === undefined) return fields;
  throw new ProblemError('bad-request', `fields: ${String(unknown)} was not drawn for this sample.`);
}

/** Where files go, and what is known of it. */
export interface AddingTo {
  readonly fillingId: string;
  readonly calibrationId: string | null;
  readonly by: string;
  /** Hashes of the files that the sample has; those that are added join them. */
  readonly known: Set<string>;
}

/** Keeps the pages of a file as photos, each with the job that counts it. */
async function addPages(house: House, { name, stored, pages, field }: KeptFile, to: AddingTo): Promise<string[]> {
  const { fillingId, calibrationId, by } = to;
  return house.store.together(async (parts) => {
    const ids: string[] = [];
    for (const { page, widthPx, heightPx } of pages) {
      const photo = { fillingId, sha256: stored.sha256, page, name, widthPx, heightPx };
      const { id } = await parts.photos.add({ ...photo, takenAt: null, calibrationId }, { by });
      ids.push(id);
      await parts.jobs.add([{ kind: COUNT_PHOTO, subject: id, payload: field === null ? {} : { drawnField: field } }]);
    }
    return ids;
  });
}

/** What became of files. */
interface Added {
  readonly ids: readonly string[];
  readonly refused: readonly { readonly file: string; readonly why: string }[];
}

/** Adds files, each with the drawn field that it shows; one that can't be taken is named with the reason. */
export async function addFiles(
  house: House,
  files: readonly (SentFile & { readonly field: string | null })[],
  to: AddingTo,
): Promise<Added> {
  const ids: string[] = [];
  const refused: { file: string; why: string }[] = [];
  for (const file of files) {
    try {
      const kept = await keepFile(house, file);
      if (to.known.has(kept.stored.sha256)) {
        throw new VeligridError('refused', `${file.name} is in this sample already, so it was not added again.`);
      }
      to.known.add(kept.stored.sha256);
      ids.push(...(await addPages(house, { ...file, ...kept }, to)));
      house.wakeWorkers();
      for (const { page } of kept.pages) makePreviewSoon(house, { hash: kept.stored.sha256, page });
    } catch (error) {
      if (!(error instanceof VeligridError) || error.code === 'store-failed') throw error;
      refused.push({ file: file.name, why: error.message });
    }
  }
  return { ids, refused };
}

function fillingNumbered(of: ReadSample, number: number): Kept<FillingFields> {
  const filling = of.fillings.find((one) => one.number === number);
  if (filling !== undefined) return filling;
  throw new ProblemError(
    'bad-request',
    `filling: this sample has ${String(of.fillings.length)}, so no number ${String(number)}.`,
  );
}

/** Adds photos to a sample; one that can't be taken is named with the reason, and the rest go on. */
export async function addPhotos({ house, params, parts, files, by }: Call<'addPhotos'>): Promise<Given<Uploaded>> {
  const sample = await findSample(house, params['sample']);
  const before = await readSample(house, sample);
  checkOpen(before);
  const filling = fillingNumbered(before, parts.filling ?? 1);
  const fields = fieldsOf(parts.fields, before);
  const { scale } = before.answer;
  const { ids, refused } = await addFiles(
    house,
    files.map((file, i) => ({ ...file, field: fields[i] ?? null })),
    {
      fillingId: filling.id,
      calibrationId: scale.kind === 'calibration' ? scale.calibration : null,
      by,
      known: new Set(before.photos.map(({ hash }) => hash)),
    },
  );
  const { photos } = await readSample(house, sample);
  return { photos: photos.filter(({ id }) => ids.includes(id)), refused };
}
