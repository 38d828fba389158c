import { presentIn } from '@veligrid/hatchery';
import { type Desk, houseNames, ledgerOf, resultOf, type Row } from '@veligrid/season';

const LITRE_ML = 1000;

/** What `list` answers for each noun. */
export type ListView = (desk: Desk) => Promise<readonly Row[]>;

export const listAnimals: ListView = async ({ parts }) =>
  (await parts.broodstock.list())
    .filter(({ active }) => active)
    .map(({ id, name, sex, line, origin, selectedFor, species, note }) => ({
      id,
      animal: name,
      sex,
      line,
      origin,
      selectedFor,
      species,
      note,
    }));

export const listSpawns: ListView = async ({ parts }) => {
  const [results, crosses] = [await parts.spawnResults.list(), await parts.crosses.list()];
  return (await parts.spawns.list()).map(({ id, name, happenedAt, ambientC, raisedC, cue }) => ({
    id,
    spawn: name,
    at: happenedAt,
    ambientC,
    raisedC,
    cue,
    animals: results.filter(({ spawnId }) => spawnId === id).length,
    crosses: crosses.filter(({ spawnId }) => spawnId === id).map((cross) => cross.name),
  }));
};

export const listBatches: ListView = async (desk) => {
  const { ledger } = await ledgerOf(desk);
  const name = await houseNames(desk.parts);
  return (await desk.parts.batches.list())
    .filter(({ active }) => active)
    .map((batch) => {
      const stays = ledger.stays.filter(({ batchId, endedAt }) => batchId === batch.id && endedAt === null);
      return {
        id: batch.id,
        batch: batch.name,
        species: batch.species,
        spawnedAt: batch.spawnedAt,
        tanks: stays.map(({ tankId }) => name(tankId) ?? ''),
        there: stays.reduce((sum, stay) => sum + presentIn(stay).estimate, 0),
        note: batch.note,
      };
    });
};

export const listTanks: ListView = async (desk) => {
  const { ledger } = await ledgerOf(desk);
  const name = await houseNames(desk.parts);
  return (await desk.parts.tanks.list())
    .filter(({ active }) => active)
    .map((tank) => {
      const stay = ledger.stays.find(({ tankId, endedAt }) => tankId === tank.id && endedAt === null);
      const last = stay?.counts.at(-1)?.count;
      return {
        id: tank.id,
        tank: tank.name,
        volumeL: tank.volumeMl === null ? null : tank.volumeMl / LITRE_ML,
        batch: stay === undefined ? 'empty' : name(stay.batchId),
        there: stay === undefined ? null : presentIn(stay),
        lastCounted: last?.happenedAt ?? null,
      };
    });
};

export const listCultures: ListView = async ({ parts }) => {
  const readings = await parts.cultureReadings.list();
  return (await parts.cultures.list())
    .filter(({ active }) => active)
    .map(({ id, name, species }) => {
      const last = readings.findLast(({ cultureId }) => cultureId === id);
      return {
        id,
        culture: name,
        alga: species,
        litres: last?.litres ?? null,
        cellsPerMl: last?.cellsPerMl ?? null,
        readAt: last?.happenedAt ?? null,
      };
    });
};

export const listSamples: ListView = async ({ parts }) => {
  const name = await houseNames(parts);
  return (await parts.samples.overview())
    .filter(({ sample }) => sample.active)
    .map((overview) => {
      const { sample, photos, countedPhotos } = overview;
      const result = resultOf(overview);
      return {
        id: sample.id,
        sample: sample.name,
        takenAt: sample.takenAt,
        tank: name(sample.tankId),
        batch: name(sample.batchId),
        photos,
        counted: countedPhotos,
        signedOffBy: result?.signedOff.by ?? 'not signed off',
        alive: result === null ? null : (result.alive ?? result.all).total,
      };
    });
};
