import { breeders, packing, readiness, setting } from '@veligrid/hatchery';
import type { Body } from './answers.js';
import type { Context } from './context.js';
import type { Asked } from './questions.js';

/** When larvae are ready. */
export function answerReadiness(question: Asked<'readiness'>, { values, book, level }: Context): Body<'readiness'> {
  const { eyed, larvae, ...rest } = question;
  return readiness(
    {
      ...rest,
      ...(eyed === undefined ? {} : { eyedShare: values.share('eyed', eyed) }),
      ...(larvae === undefined ? {} : { larvae: values.amount('larvae', larvae) }),
      level,
    },
    book,
  );
}

/** Number to set. */
export function answerSetting(question: Asked<'setting'>, { values, book, level }: Context): Body<'setting'> {
  const { larvae, efficiency, ownSets, ...rest } = question;
  return setting(
    {
      ...rest,
      ...(larvae === undefined ? {} : { larvae: values.amount('larvae', larvae) }),
      ...(efficiency === undefined ? {} : { efficiency: values.share('efficiency', efficiency) }),
      ...(ownSets === undefined
        ? {}
        : {
            ownSets: ownSets.map((one, i) => ({
              larvae: values.amount(`ownSets[${i}].larvae`, one.larvae),
              spat: values.amount(`ownSets[${i}].spat`, one.spat),
            })),
          }),
      level,
    },
    book,
  );
}

/** How to pack. */
export function answerPacking(question: Asked<'packing'>, { values, book }: Context): Body<'packing'> {
  const { larvae, sample, ...rest } = question;
  return packing(
    {
      ...rest,
      larvae: values.amount('larvae', larvae),
      ...(sample === undefined ? {} : { sample: { ...sample, larvae: values.amount('sample.larvae', sample.larvae) } }),
    },
    book,
  );
}

/** Breeders and crosses. */
export const answerBreeders = (question: Asked<'breeders'>, { book }: Context): Body<'breeders'> =>
  breeders(question, book);
