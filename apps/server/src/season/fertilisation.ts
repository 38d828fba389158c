import type { SpawnView as SpawnAnswer } from '@veligrid/api';
import { handTally } from '@veligrid/estimation';
import { fertilisedShare } from '@veligrid/hatchery';
import { CLEAVED, POLAR_BODY_MINUTES } from '@veligrid/imaging';
import type { Stage } from '@veligrid/model';
import { loadFiguresOrCommon, ownFiguresOf, resultOf, type SpawnView } from '@veligrid/season';
import type { SampleOverview } from '@veligrid/storage';
import type { House } from '../house.js';
import { countedIn, currentOf } from '../results/current.js';
import { readSample } from '../samples/read-sample.js';

type Fertilisation = SpawnAnswer['fertilisation'][number];

const MINUTE_MS = 60_000;
/** Counts of the first day say whether it took; later ones are of larvae. */
const FIRST_DAY_MINUTES = 24 * 60;
const FERTILISED: readonly Stage[] = ['fertilised-egg', ...CLEAVED];

/** Eggs and embryos of each photo, by what staff confirmed. */
async function slidesOf(house: House, overview: SampleOverview): Promise<{ positive: number; of: number }[]> {
  const current = await currentOf(house, await readSample(house, overview.sample));
  return current.used.map((photo) => {
    const stages = countedIn(photo).map(({ stage }) => stage);
    const positive = stages.filter((stage) => FERTILISED.includes(stage)).length;
    return { positive, of: positive + stages.filter((stage) => stage === 'egg').length };
  });
}

async function answerOf(
  house: House,
  overview: SampleOverview,
  minutes: number | null,
): Promise<Fertilisation['answer']> {
  const result = resultOf(overview);
  if (result === null) return null;
  const slides = (await slidesOf(house, overview)).map(({ positive, of }) => ({
    positive: handTally(positive),
    of: handTally(of),
  }));
  const { species } = overview.sample;
  const own = await ownFiguresOf(house.store, species);
  const book = await loadFiguresOrCommon(species, own === null ? [] : [own.preset]);
  const plan = fertilisedShare({ slides, minutes, showsAfterMinutes: POLAR_BODY_MINUTES }, book);
  const { scored, fertilised, share, atLeast, target, warnings } = plan;
  return { scored, fertilised, share, atLeast, target, signedOffBy: result.signedOff.by, warnings: [...warnings] };
}

function minutesAfter(spawnedAt: string | null, takenAt: string): number | null {
  if (spawnedAt === null) return null;
  const minutes = (Date.parse(takenAt) - Date.parse(spawnedAt)) / MINUTE_MS;
  // forms give whole minutes: a sample of the same minute is not from before
  return minutes > -1 && minutes < 0 ? 0 : minutes;
}

/** Whether a sample can say if it took: counted on photos, on the first day. */
function canTell(overview: SampleOverview, minutes: number | null): boolean {
  const byEye = overview.photos === 0 && resultOf(overview) !== null;
  return !byEye && (minutes === null || (minutes >= 0 && minutes <= FIRST_DAY_MINUTES));
}

/** Counts on photos, within a day of fertilisation, of batches that come from a spawn; the earliest first. */
export async function fertilisationOf(house: House, { batches }: SpawnView): Promise<Fertilisation[]> {
  const tanks = await house.store.tanks.list();
  const checks: Fertilisation[] = [];
  const ofBatch = async ({ id, name, spawnedAt }: SpawnView['batches'][number]): Promise<void> => {
    for (const overview of await house.store.samples.overview({ batchId: id })) {
      const { sample } = overview;
      const minutes = minutesAfter(spawnedAt, sample.takenAt);
      if (!sample.active || !canTell(overview, minutes)) continue;
      const answer = await answerOf(house, overview, minutes);
      checks.push({
        sample: sample.id,
        tankName: tanks.find((tank) => tank.id === sample.tankId)?.name ?? '',
        batchName: name,
        takenAt: sample.takenAt,
        minutes,
        state: answer === null ? 'open' : 'signed-off',
        answer,
      });
    }
  };
  for (const batch of batches) await ofBatch(batch);
  return checks.toSorted((a, b) => (a.takenAt < b.takenAt ? -1 : 1));
}
