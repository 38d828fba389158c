import type { Kept, OpenSample, SampleFields } from '@veligrid/storage';
import { find, houseNames, type KeptResult, resultOf, type View } from '@veligrid/season';
import type { ShowView } from './shows.js';

const percent = (share: number): number => 100 * share;

/** What a sample says once it is signed off; until then that it does not. */
function resultView(result: KeptResult | null): View {
  if (result === null) return { signedOff: 'not signed off: no total' };
  const { total, densityPerMl } = result.alive ?? result.all;
  return {
    signedOff: `${result.signedOff.by}, ${result.signedOff.at}`,
    animalsCounted: result.animals,
    alive: total,
    alivePerMl: densityPerMl,
    meanLengthUm: result.lengths?.mean ?? null,
    shares: result.shares.map(({ stage, animals, share }) => ({
      stage,
      animals,
      sharePercent: { estimate: percent(share.estimate), low: percent(share.low), high: percent(share.high) },
    })),
  };
}

/** Fillings, photos and sign-offs. */
function partsView({ fillings, photos, detections, signOffs }: OpenSample): View {
  const photoName = (id: string): string => photos.find((one) => one.id === id)?.name ?? id;
  return {
    fillings: fillings.map(({ number, volumeMl, note }) => ({ filling: number, volumeMl, note })),
    photos: photos.map((photo) => ({
      photo: photo.name,
      picture: photo.sha256,
      found: detections.find(({ photoId }) => photoId === photo.id)?.count.detections.length ?? null,
    })),
    signOffs: signOffs.map((one) => ({
      at: one.at,
      by: one.by,
      what: one.kind === 'signed' ? 'signed off' : 'taken back',
      of: one.photoId === null ? 'the whole count' : photoName(one.photoId),
      why: one.why,
    })),
  };
}

const headView = ({ id, name, takenAt, notes, containerVolumeMl, note }: Kept<SampleFields>): View => ({
  id,
  sample: name,
  takenAt,
  state: notes.kind,
  ageHours: notes.ageHours ?? null,
  containerMl: containerVolumeMl,
  note,
});

export const showSample: ShowView = async (desk, name) => {
  const { parts } = desk;
  const names = await houseNames(parts);
  const sample = await find(desk, 'sample', name);
  const open = await parts.samples.open(sample.id);
  const overview = (await parts.samples.overview()).find((one) => one.sample.id === sample.id);
  return {
    ...headView(sample),
    tank: names(sample.tankId),
    batch: names(sample.batchId),
    ...resultView(overview === undefined ? null : resultOf(overview)),
    ...(open === null ? {} : partsView(open)),
  };
};
