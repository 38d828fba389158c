import { join } from 'node:path';
import type { Command } from 'commander';
import type { Adding } from '../../adding.js';
import { readPhoto, renderOverlay } from '@veligrid/imaging';
import { confirmReviewed, COUNT, keptCounting, photosToReview } from '@veligrid/server';
import { VeligridError } from '@veligrid/model';
import { openStore, type Kept, type SampleFields, type Store } from '@veligrid/storage';
import { writeResult } from '../../count/write-result.js';
import { EXIT } from '../../exit-codes.js';
import { addNoun } from '../add-noun-commands.js';
import { type Desk, field, find, type Given, type Kind, limitsText, SAMPLE_FIELDS, sampleHead } from '@veligrid/season';
import { checkBy, deskOn, recording, type DeskOptions } from '../open-desk.js';
import { addRecordCommand, withBy } from '../record-command.js';
import { listSamples } from '../show/lists.js';
import { showSample } from '../show/show-sample.js';
import { keepPhoto, type CountFile, type KeptPhoto } from './keep-photo.js';
import { readReview, reviewFile } from './review-file.js';

const CELLS = ['sedgwick-rafter', 'haemocytometer', 'none'] as const;

function countingOf(given: Given): SampleFields['counting'] {
  const umPerPx = given.maybeAbove0('scale_um_per_px');
  const cell = { kind: given.choice('cell', CELLS, 'sedgwick-rafter') };
  const scale = umPerPx === null ? ({ kind: 'ruled-lines' } as const) : ({ kind: 'given', umPerPx } as const);
  return keptCounting({ cell, scale, countingRule: 'centroid', fields: null }, given.has('slide_ml'));
}

/** A sample that photos are added to. */
export const SAMPLE: Kind = {
  name: 'sample',
  about: 'a sample that photos are counted of; nothing is a total before it is confirmed',
  fields: [
    ...SAMPLE_FIELDS,
    field('cell', 'ruled cell in the photos', { choices: CELLS }),
    field('scale_um_per_px', 'micrometres a pixel (default: from the ruled lines)'),
    field('slide_ml', 'volume on the slide when each is counted whole, mL'),
  ],
  keep: async (given, desk) => {
    const { name, tankId, batchId, takenAt, species, notes, containerMl, note } = await sampleHead(given, desk);
    const sample = await desk.parts.samples.add(
      {
        name,
        batchId,
        tankId,
        takenAt,
        species,
        notes,
        containerVolumeMl: containerMl,
        containerVolumeStandardUncertaintyMl: null,
        counting: countingOf(given),
        note,
        active: true,
      },
      { by: desk.by },
    );
    const filling = { number: 1, volumeMl: given.maybeAbove0('slide_ml'), volumeStandardUncertaintyMl: null };
    await desk.parts.fillings.add({ sampleId: sample.id, ...filling, steps: [], note: '' }, { by: desk.by });
    return sample;
  },
};

/** The filling of a number; one after the last is begun, with the volumes of the first. */
export async function fillingNumbered(
  { parts, by }: Desk,
  sample: Kept<SampleFields>,
  number: number,
): Promise<string> {
  const fillings = await parts.fillings.ofSample(sample.id);
  const found = fillings.find((one) => one.number === number);
  if (found !== undefined) return found.id;
  const [first] = fillings;
  if (number !== fillings.length + 1 || first === undefined) {
    throw new VeligridError(
      'bad-argument',
      `The sample has ${fillings.length} fillings, so the next is ${fillings.length + 1}.`,
    );
  }
  const { volumeMl, volumeStandardUncertaintyMl, steps } = first;
  const next = { sampleId: sample.id, number, volumeMl, volumeStandardUncertaintyMl, steps, note: '' };
  return (await parts.fillings.add(next, { by })).id;
}

interface PhotosOptions extends DeskOptions {
  readonly by: string;
  readonly filling: string;
  readonly out: string;
}

async function writeOverlays(store: Store, photos: readonly KeptPhoto[], out: string): Promise<void> {
  for (const { id, name, page, count } of photos) {
    const photo = await store.photos.get(id);
    if (photo === null) continue;
    const path = await store.files.localPath(photo.sha256);
    for await (const one of readPhoto(path, { name })) {
      if (one.page !== page) continue;
      await writeResult(
        join(out, `${name}${page === 1 ? '' : `-p${page}`}.overlay.jpg`),
        await renderOverlay(one.raster, count),
      );
    }
  }
}

async function addPhotos(
  name: string,
  files: readonly string[],
  options: PhotosOptions,
  countFile?: CountFile,
): Promise<string> {
  const store = await openStore(options.data, { create: false });
  try {
    await checkBy(store, options.by);
    const desk = deskOn(store, options.by);
    const sample = await find(desk, 'sample', name);
    const fillingId = await fillingNumbered(desk, sample, Number(options.filling));
    const said: string[] = [];
    for (const file of files) {
      const photos = await keepPhoto(store, file, { sampleId: sample.id, fillingId, by: options.by }, countFile);
      await writeOverlays(store, photos, options.out);
      said.push(...photos.map(({ name: photo, count }) => `${photo}: ${count.detections.length} objects found\n`));
    }
    const review = join(options.out, 'review.csv');
    await writeResult(review, reviewFile(await photosToReview(store, sample.id)));
    return `${said.join('')}Look at the overlays in ${options.out}, correct the stages in ${review}, then: veligrid sample confirm\n`;
  } finally {
    await store.close();
  }
}

interface ConfirmOptions extends DeskOptions {
  readonly by: string;
  readonly reviewed: string;
}

async function confirm(name: string, options: ConfirmOptions): Promise<string> {
  const looked = await readReview(options.reviewed);
  const result = await recording(options, async (desk) => {
    const { id } = await find(desk, 'sample', name);
    return confirmReviewed(desk.store, { sampleId: id, by: options.by, looked });
  });
  if (options.json === true) return `${JSON.stringify(result, null, 2)}\n`;
  const { alive, all, signedOff } = result;
  return `Signed off by ${signedOff.by}: ${limitsText((alive ?? all).total)} alive in the container\n`;
}

const PHOTOS_HELP = `
Nothing is signed off by this: it writes an overlay of each photo and review.csv with a line for every object that counts.
Look at each, correct what is wrong (not-larva for what is none), and confirm. What the program did not find can't be
added in the file: open the viewer for that (veligrid serve), or count by eye (veligrid sample tally).`;

/** Adds `sample`. */
export function addSampleCommands(program: Command, adding: Adding): void {
  const { console, done } = adding;
  const about = 'samples counted on photos or by eye, and their sign-off';
  const sample = addNoun(program, { name: 'sample', about, list: listSamples, show: showSample }, adding);
  addRecordCommand(sample, 'add', SAMPLE, adding);
  addRecordCommand(sample, 'tally', COUNT, adding);
  withBy(sample.command('photos').description('add photos to a sample and count them'))
    .argument('<sample>', 'its name, or its id')
    .argument('<photos...>', 'picture files')
    .option('--filling <n>', 'filling of the slide that they show, 1 for the first', '1')
    .requiredOption('--out <folder>', 'folder for overlays and review.csv')
    .addHelpText('after', PHOTOS_HELP)
    .action(async (name: string, files: string[], options: PhotosOptions) => {
      console.out(await addPhotos(name, files, options, adding.countFile));
      done(EXIT.done);
    });
  withBy(sample.command('confirm').description('sign a count off that was reviewed object by object'))
    .argument('<sample>', 'its name, or its id')
    .requiredOption('--reviewed <file>', 'the review.csv that you looked through: a line for every object')
    .action(async (name: string, options: ConfirmOptions) => {
      console.out(await confirm(name, options));
      done(EXIT.done);
    });
}
