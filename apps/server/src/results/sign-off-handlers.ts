import type { Photo, Proposal, Result } from '@veligrid/api';
import { confirm } from '@veligrid/review';
import type { EstimateFields, Entered, JsonObject, SignOffEntry, SignOffFields } from '@veligrid/storage';
import type { Stage } from '@veligrid/model';
import type { Call, Handlers } from '../http/call.js';
import { ProblemError } from '../http/problem-error.js';
import type { House } from '../house.js';
import { ordersOn } from '../photos/photo-state.js';
import { checkOpen, findSample, readPhoto, readSample } from '../samples/read-sample.js';
import { standingSignOff } from '../samples/sample-answer.js';
import { countedIn, currentOf, missingOf, type Current } from './current.js';
import { keptQuestion, makeResult } from './make-result.js';

/** Kind under which results are kept among the estimates. */
export const KIND = 'count';

export const plain = (value: unknown): JsonObject => JSON.parse(JSON.stringify(value)) as JsonObject;

function decidedSince(order: number, what: string): ProblemError {
  return new ProblemError(
    'conflict',
    `Somebody decided on ${what} since you looked. Look at it again, then sign it off.`,
    {
      code: 'decided-since',
      order,
    },
  );
}

const detectionsOf = (photos: readonly Photo[]): Record<string, string> =>
  Object.fromEntries(photos.flatMap(({ id, count }) => (count === null ? [] : [[id, count]])));

/** Who signs, having seen how many decisions. */
export interface Signing {
  readonly order: number;
  readonly by: string;
}

/**
 * Signs one photo off: it was looked at.
 *
 * @throws ProblemError when it is not counted, the count is signed off, or somebody decided on it since
 */
export async function signPhoto(
  house: House,
  photoId: string | undefined,
  { order: seen, by }: Signing,
): Promise<Photo> {
  const { photo, of } = await readPhoto(house, photoId);
  checkOpen(of);
  if (photo.count === null)
    throw new ProblemError('refused', `${photo.name} is not counted yet. Wait until it is.`, {
      code: 'not-counted',
      data: { name: photo.name },
    });
  const order = of.decisions.length;
  if (ordersOn(photo.id, of.decisions).some((one) => one > seen)) throw decidedSince(order, photo.name);
  const fields: SignOffFields = {
    sampleId: of.sample.id,
    photoId: photo.id,
    kind: 'signed',
    decisions: order,
    detections: detectionsOf([photo]),
    payload: null,
  };
  await house.store.signOffs.append(fields, { by });
  return (await readPhoto(house, photo.id)).photo;
}

/**
 * Signs the whole count of a sample off, and keeps what follows from it.
 *
 * @throws ProblemError when something stands in the way
 */
export async function signSample(house: House, sampleId: string | undefined, { order, by }: Signing): Promise<Result> {
  const of = await readSample(house, await findSample(house, sampleId));
  checkOpen(of);
  if (order !== of.decisions.length) throw decidedSince(of.decisions.length, 'this count');
  const current = await currentOf(house, of);
  const missing = missingOf(current);
  if (missing.length > 0) throw new ProblemError('refused', missing.join(' '));
  const at = house.now().toISOString();
  const confirmed = confirm(current.counts, current.log, { by, at, countingRule: of.answer.countingRule });
  const result = await makeResult(house, confirmed, current);
  return house.store.together(async (parts) => {
    const fields: SignOffFields = {
      sampleId: of.sample.id,
      photoId: null,
      kind: 'signed',
      decisions: of.decisions.length,
      detections: detectionsOf(of.photos),
      payload: plain(confirmed),
    };
    const { id } = await parts.signOffs.append(fields, { by });
    const whole: Result = { ...result, id, reopened: null };
    const kept = { sampleId: of.sample.id, signOffId: id, kind: KIND, program: house.version };
    const estimate = { ...kept, question: plain(keptQuestion(confirmed, current)), answer: plain(whole) };
    await parts.estimates.append(estimate, { by });
    return whole;
  });
}

/** When and why a sign-off was taken back; null while it stands. */
function reopenedOf(signOffs: readonly SignOffEntry[], id: string): Result['reopened'] {
  const whole = signOffs.filter(({ photoId }) => photoId === null);
  const after = whole[whole.findIndex((one) => one.id === id) + 1];
  return after?.kind === 'taken-back' ? { by: after.by, at: after.at, reason: after.why ?? '' } : null;
}

const resultOf = ({ answer, signOffId }: Entered<EstimateFields>, signOffs: readonly SignOffEntry[]): Result => ({
  ...(answer as unknown as Result),
  reopened: reopenedOf(signOffs, signOffId),
});

/** All results of a sample, latest last. */
export async function resultsOf(house: House, sampleId: string): Promise<Result[]> {
  const [estimates, signOffs] = await Promise.all([
    house.store.estimates.ofSample(sampleId),
    house.store.signOffs.ofSample(sampleId),
  ]);
  return estimates.filter(({ kind }) => kind === KIND).map((one) => resultOf(one, signOffs));
}

async function reopen({ house, params, body, by }: Call<'reopen'>): Promise<Result> {
  const of = await readSample(house, await findSample(house, params['sample']));
  const standing = standingSignOff(of.signOffs);
  if (standing === null) throw new ProblemError('refused', 'This count is open already.');
  const fields: SignOffFields = {
    sampleId: of.sample.id,
    photoId: null,
    kind: 'taken-back',
    decisions: of.decisions.length,
    detections: {},
    payload: null,
  };
  await house.store.signOffs.append(fields, { by, why: body.reason });
  const result = (await resultsOf(house, of.sample.id)).find(({ id }) => id === standing.id);
  if (result === undefined) throw new Error(`The sign-off ${standing.id} has no result`);
  return result;
}

function byStage(current: Current): Partial<Record<Stage, number>> {
  const tally: Partial<Record<Stage, number>> = {};
  for (const { stage } of current.used.flatMap(countedIn)) tally[stage] = (tally[stage] ?? 0) + 1;
  return tally;
}

async function proposal({ house, params }: Call<'getProposal'>): Promise<Proposal> {
  const of = await readSample(house, await findSample(house, params['sample']));
  const current = await currentOf(house, of);
  const { used, volumes } = current;
  const animals = used.flatMap(countedIn).length;
  const whole = volumes.length > 0 && volumes.every(({ containerMl }) => containerMl !== null);
  const lookedAtMl = whole ? volumes.reduce((sum, { containerMl }) => sum + (containerMl ?? 0), 0) : null;
  const densityPerMl = lookedAtMl === null ? null : animals / lookedAtMl;
  const warnings = new Map(used.flatMap(({ count }) => count.warnings).map((one) => [one.code, one]));
  return {
    notSignedOff: true,
    order: of.decisions.length,
    animals,
    byStage: byStage(current),
    lookedAtMl,
    densityPerMl,
    total: densityPerMl === null ? null : densityPerMl * of.answer.containerMl,
    why: volumes.find(({ why }) => why !== null)?.why ?? (volumes.length === 0 ? 'No photo is counted yet.' : null),
    missing: missingOf(current),
    warnings: [...warnings.values()],
  };
}

export const signOffHandlers: Handlers<'getProposal' | 'signPhotoOff' | 'signOff' | 'reopen' | 'getResults'> = {
  getProposal: proposal,
  signPhotoOff: ({ house, params, body, by }) => signPhoto(house, params['photo'], { order: body.order, by }),
  signOff: ({ house, params, body, by }) => signSample(house, params['sample'], { order: body.order, by }),
  reopen,
  getResults: async ({ house, params }) => {
    const { id } = await findSample(house, params['sample']);
    return { results: await resultsOf(house, id) };
  },
};
