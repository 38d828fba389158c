import { badArgument, STAGES, VeligridError } from '@veligrid/model';
import { field, SAMPLE_FIELDS, sampleHead, type Given, type Kind } from '@veligrid/season';
import { keepHandTally, type TalliedFilling } from '../results/hand-tally.js';

/** One value for all fillings, or one for each. */
function perFilling(name: string, values: readonly number[], fillings: number): number[] {
  const [only] = values;
  if (values.length === 1 && only !== undefined) return Array.from({ length: fillings }, () => only);
  if (values.length === fillings) return [...values];
  throw badArgument(name, `one for all, or one for each of the ${fillings} fillings`, values.length);
}

function fillingsOf(given: Given): TalliedFilling[] {
  const alive = given.numbers('counts');
  if (alive.length === 0) throw new VeligridError('bad-argument', 'counts is missing.');
  const dead = given.has('dead') ? perFilling('dead', given.numbers('dead'), alive.length) : alive.map(() => 0);
  const volumes = perFilling('volume_ml', given.numbers('volume_ml'), alive.length);
  const [takenMl, madeUpToMl] = [given.maybeAbove0('taken_ml'), given.maybeAbove0('made_up_to_ml')];
  if ((takenMl === null) !== (madeUpToMl === null)) {
    throw new VeligridError('bad-argument', 'A dilution needs both taken_ml and made_up_to_ml, the final volume.');
  }
  const steps = takenMl === null || madeUpToMl === null ? [] : [{ takenMl, madeUpToMl }];
  return alive.map((number, i) => ({ alive: number, dead: dead[i] ?? 0, volumeMl: volumes[i] ?? 0, steps }));
}

/** A count made by eye, without photos. */
export const COUNT: Kind = {
  name: 'count',
  about: 'a count made by eye at the microscope; it is signed off by who enters it',
  fields: [
    ...SAMPLE_FIELDS,
    field('counts', 'live animals in each filling of the slide, with ; between them', { needed: 'always' }),
    field('dead', 'dead ones and empty shells in each filling'),
    field('volume_ml', 'volume looked at in each filling, mL; one number when it is the same', { needed: 'always' }),
    field('taken_ml', 'volume taken for a dilution, mL'),
    field('made_up_to_ml', 'final volume of the dilution, mL'),
    field('stage', 'what most of them were', { choices: STAGES }),
    field('lengths_um', 'lengths measured, um, with ; between them'),
  ],
  keep: async (given, desk) => {
    const { parts, by } = desk;
    const head = await sampleHead(given, desk);
    const stage = given.choice('stage', STAGES, 'unsure');
    if (stage === 'dead' || stage === 'empty-shell') throw badArgument('stage', 'what the living were', stage);
    const tally = { ...head, by, stage, fillings: fillingsOf(given), lengthsUm: given.numbers('lengths_um') };
    const { sampleId } = await keepHandTally(desk.store, tally, { now: () => new Date(desk.now()) });
    const sample = await parts.samples.get(sampleId);
    if (sample === null) throw new Error(`The sample ${sampleId} was not kept`);
    return sample;
  },
};
