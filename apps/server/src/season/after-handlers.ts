import type { AfterCount } from '@veligrid/api';
import { afterCount, houseNames, type AfterCount as Found } from '@veligrid/season';
import type { Parts } from '@veligrid/storage';
import type { Call, Handlers } from '../http/call.js';
import { ProblemError } from '../http/problem-error.js';
import { findSample } from '../samples/read-sample.js';
import { lookingDesk } from './entry-handlers.js';
import { planHeads } from './plan-answers.js';

type Shares = AfterCount['shares'];

const sharesOf = (shares: Found['counted']['result']['shares']): Shares =>
  shares.map(({ stage, share }) => ({ stage, share }));

const movesOf = (moves: Found['between']): AfterCount['between'] =>
  moves.map(({ id, kind, happenedAt, number }) => ({ id, kind, at: happenedAt, number }));

function beforeOf({ before, asked }: Found): AfterCount['before'] {
  if (before === null) return null;
  const count = asked.counts.find(({ overview }) => overview.sample.id === before.sample?.id);
  return { ...before, shares: count === undefined ? [] : sharesOf(count.result.shares) };
}

async function tanksOf(parts: Parts, { asked }: Found): Promise<AfterCount['tanks']> {
  const names = await houseNames(parts);
  const there = new Map(asked.stays.filter(({ endedAt }) => endedAt === null).map((one) => [one.tankId, one.batchId]));
  const tanks = (await parts.tanks.list()).filter(({ active }) => active);
  return tanks.map(({ id, name, volumeMl }) => ({ id, name, volumeMl, batch: names(there.get(id) ?? null) }));
}

async function answerOf({ house, params }: Call<'getAfterCount'>): Promise<AfterCount> {
  const sample = await findSample(house, params['sample']);
  const found = await afterCount(lookingDesk(house), sample.id);
  if (found === null) {
    throw new ProblemError(
      'not-signed-off',
      'This count is not signed off, so nothing follows from it. Sign it off first.',
      {
        code: 'after-not-signed-off',
      },
    );
  }
  const { counted, asked, ageDays } = found;
  const { signOff } = counted.overview;
  const { store } = house;
  const answer = {
    sample: { id: sample.id, name: sample.name, takenAt: sample.takenAt },
    signOff: { id: signOff?.id ?? '', by: signOff?.by ?? '', at: signOff?.at ?? '' },
    species: asked.species,
    tank: asked.tank && { id: asked.tank.id, name: asked.tank.name, volumeMl: asked.tank.volumeMl },
    batch: asked.batch && { id: asked.batch.id, name: asked.batch.name, spawnedAt: asked.batch.spawnedAt },
    ageDays,
    alive: counted.alive,
    deadLeftOut: counted.result.alive !== null,
    measured: counted.result.lengths?.measured ?? 0,
    meanLengthUm: counted.meanLengthUm,
    shares: sharesOf(counted.result.shares),
    before: beforeOf(found),
    between: movesOf(found.between),
    since: movesOf(found.since),
    survival: found.survival,
    growth: found.growth,
    dYield: found.dYield,
    notWorkedOut: found.notWorkedOut,
    allowed: found.plans,
    tanks: await tanksOf(store, found),
    plans: await planHeads(store, await store.plans.list({ sampleId: sample.id })),
  };
  return JSON.parse(JSON.stringify(answer)) as AfterCount;
}

export const afterHandlers: Handlers<'getAfterCount'> = { getAfterCount: answerOf };
