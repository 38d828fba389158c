import { readFile, rm, writeFile } from 'node:fs/promises';
import { z } from 'zod';
import type { Uploaded } from '@veligrid/api';
import { inspectPhoto, removePlace, type PhotoPage } from '@veligrid/imaging';
import { VeligridError } from '@veligrid/model';
import type { FillingFields, Kept, StoredFile } from '@veligrid/storage';
import type { Call, SentFile } from '../http/call.js';
import { ProblemError } from '../http/problem-error.js';
import type { House } from '../house.js';
import { checkOpen, findSample, readSample, type ReadSample } from '../samples/read-sample.js';
import { COUNT_PHOTO } from './photo-state.js';

/** A file that passed and is kept. */
interface KeptFile {
  readonly name: string;
  readonly stored: StoredFile;
  readonly pages: readonly PhotoPage[];
  readonly field: string | null;
}

/** Looks at what was sent, takes the place out of it, and keeps it. */
async function keepFile(house: House, { path, name }: SentFile): Promise<{ stored: StoredFile; pages: PhotoPage[] }> {
  const bytes = await readFile(path);
  const pages = await inspectPhoto(bytes, { name, maxPixels: house.uploadLimits.pixels });
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

/** Keeps the pages of a file as photos, each with the job that counts it. */
async function addPages(
  house: House,
  { name, stored, pages, field }: KeptFile,
  {
    filling,
    calibrationId,
    by,
  }: { readonly filling: Kept<FillingFields>; readonly calibrationId: string | null; readonly by: string },
): Promise<string[]> {
  return house.store.together(async (parts) => {
    const ids: string[] = [];
    for (const { page, widthPx, heightPx } of pages) {
      const photo = { fillingId: filling.id, sha256: stored.sha256, page, name, widthPx, heightPx };
      const { id } = await parts.photos.add({ ...photo, takenAt: null, calibrationId }, { by });
      ids.push(id);
      await parts.jobs.add([{ kind: COUNT_PHOTO, subject: id, payload: field === null ? {} : { drawnField: field } }]);
    }
    return ids;
  });
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
export async function addPhotos({ house, params, parts, files, by }: Call<'addPhotos'>): Promise<Uploaded> {
  const sample = await findSample(house, params['sample']);
  const before = await readSample(house, sample);
  checkOpen(before);
  const filling = fillingNumbered(before, parts.filling ?? 1);
  const fields = fieldsOf(parts.fields, before);
  const { scale } = before.answer;
  const calibrationId = scale.kind === 'calibration' ? scale.calibration : null;
  const known = new Set(before.photos.map(({ hash }) => hash));
  const added: string[] = [];
  const refused: { file: string; why: string }[] = [];
  for (const [i, file] of files.entries()) {
    try {
      const { stored, pages } = await keepFile(house, file);
      if (known.has(stored.sha256)) {
        throw new VeligridError('refused', `${file.name} is in this sample already, so it was not added again.`);
      }
      known.add(stored.sha256);
      added.push(
        ...(await addPages(
          house,
          { ...file, stored, pages, field: fields[i] ?? null },
          { filling, calibrationId, by },
        )),
      );
      house.wakeWorkers();
    } catch (error) {
      if (!(error instanceof VeligridError) || error.code === 'store-failed') throw error;
      refused.push({ file: file.name, why: error.message });
    }
  }
  const { photos } = await readSample(house, sample);
  return { photos: photos.filter(({ id }) => added.includes(id)), refused };
}
