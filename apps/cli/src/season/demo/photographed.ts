import { join } from 'node:path';
import { VeligridError } from '@veligrid/model';
import { confirmReviewed, photosToReview, type Looked } from '@veligrid/server';
import { field, find, type Kind } from '@veligrid/season';
import { keepPhoto } from '../sample/keep-photo.js';
import { fillingNumbered, SAMPLE } from '../sample/sample-commands.js';
import { lookedByTruth } from './drawn-truth.js';

/** Where the drawn slides lie, and ids for decisions that are the same in every run. */
export interface Slides {
  readonly pictures: string;
  readonly truth: string;
  readonly newId: () => string;
}

/** A sample with one drawn slide, counted by the program and reviewed by what was drawn: the demo's stand-in for staff. */
export const photographed = ({ pictures, truth, newId }: Slides): Kind => ({
  name: 'photographed',
  about: 'a sample counted on a drawn slide',
  fields: [...SAMPLE.fields, field('slide', 'picture file', { needed: 'always' })],
  keep: async (given, desk) => {
    const { id: sampleId } = await SAMPLE.keep(given, desk);
    const sample = await find(desk, 'sample', sampleId);
    const slide = given.name('slide');
    const fillingId = await fillingNumbered(desk, sample, 1);
    await keepPhoto(desk.store, join(pictures, slide), { sampleId, fillingId, by: desk.by });
    const now = (): Date => new Date(desk.now());
    const looked = new Map<string, Map<string, Looked>>();
    for (const photo of await photosToReview(desk.store, sampleId, { now })) {
      looked.set(photo.photo, await lookedByTruth(photo, join(truth, slide.replace(/\.jpg$/, '.json'))));
    }
    if (looked.size === 0) throw new VeligridError('refused', `${slide} was not counted.`);
    await confirmReviewed(desk.store, { sampleId, by: desk.by, looked }, { now, newId });
    return sample;
  },
});
