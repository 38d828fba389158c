import type { Stay } from '@veligrid/hatchery';
import {
  balanceRows,
  type Desk,
  find,
  houseNames,
  ledgerOf,
  type Names,
  originView,
  type Row,
  type View,
} from '@veligrid/season';

/** What `show` answers for each noun. */
export type ShowView = (desk: Desk, name: string) => Promise<View>;

const LITRE_ML = 1000;

export const showAnimal: ShowView = async (desk, name) => {
  const { parts } = desk;
  const names = await houseNames(parts);
  const animal = await find(desk, 'animal', name);
  const results = (await parts.spawnResults.list()).filter(({ animalId }) => animalId === animal.id);
  const crosses = (await parts.crosses.list()).filter(({ dams, sires }) => [...dams, ...sires].includes(animal.id));
  const { id, sex, line, origin, selectedFor, species, note } = animal;
  return {
    id,
    animal: animal.name,
    species,
    sex,
    line,
    origin,
    selectedFor,
    note,
    spawned: results.map(({ spawnId, happenedAt, outcome, gameteMl, gametes }) => ({
      spawn: names(spawnId),
      at: happenedAt,
      outcome,
      gameteMl,
      gametes,
    })),
    crosses: crosses.map((cross) => ({
      cross: cross.name,
      as: cross.dams.includes(animal.id) ? 'dam' : 'sire',
      at: cross.happenedAt,
    })),
  };
};

export const showSpawn: ShowView = async (desk, name) => {
  const { parts } = desk;
  const names = await houseNames(parts);
  const spawn = await find(desk, 'spawn', name);
  const { id, species, happenedAt, endedAt, ambientC, raisedC, cue, note, by } = spawn;
  const results = (await parts.spawnResults.list()).filter(({ spawnId }) => spawnId === id);
  const crosses = (await parts.crosses.list()).filter(({ spawnId }) => spawnId === id);
  return {
    id,
    spawn: spawn.name,
    species,
    at: happenedAt,
    endedAt,
    ambientC,
    raisedC,
    cue,
    note,
    recordedBy: by,
    animals: results.map((one) => ({
      animal: names(one.animalId),
      at: one.happenedAt,
      outcome: one.outcome,
      sex: one.sex,
      gameteMl: one.gameteMl,
      gametes: one.gametes,
      note: one.note,
    })),
    crosses: crosses.map((one) => ({
      cross: one.name,
      at: one.happenedAt,
      dams: one.dams.map((dam) => names(dam) ?? ''),
      sires: one.sires.map((sire) => names(sire) ?? ''),
      pooledSperm: one.pooledSperm,
      eggs: one.eggs,
      sperm: one.sperm,
    })),
  };
};

const stayRow = (stay: Stay, names: Names): Row => ({
  tank: names(stay.tankId),
  since: stay.beganAt,
  until: stay.endedAt,
  counts: stay.counts.length,
});

export const showBatch: ShowView = async (desk, name) => {
  const names = await houseNames(desk.parts);
  const batch = await find(desk, 'batch', name);
  const { ledger } = await ledgerOf(desk);
  const stays = ledger.stays.filter(({ batchId }) => batchId === batch.id);
  return {
    id: batch.id,
    batch: batch.name,
    species: batch.species,
    spawnedAt: batch.spawnedAt,
    note: batch.note,
    ...(await originView(desk, batch.id, names, ledger.stays)),
    tanks: stays.map((stay) => stayRow(stay, names)),
    balance: stays.length === 0 ? [] : balanceRows(stays),
  };
};

export const showTank: ShowView = async (desk, name) => {
  const { parts } = desk;
  const names = await houseNames(parts);
  const tank = await find(desk, 'tank', name);
  const { ledger } = await ledgerOf(desk);
  const stay = ledger.stays.find(({ tankId, endedAt }) => tankId === tank.id && endedAt === null);
  const rations = (await parts.rations.list()).filter(({ tankId }) => tankId === tank.id);
  const water = (await parts.waterNotes.list()).filter(({ tankId }) => tankId === tank.id);
  return {
    id: tank.id,
    tank: tank.name,
    volumeL: tank.volumeMl === null ? null : tank.volumeMl / LITRE_ML,
    note: tank.note,
    batch: stay === undefined ? 'empty' : names(stay.batchId),
    balance: stay === undefined ? [] : balanceRows([stay]),
    counts: (stay?.counts ?? []).map(({ count, expected, unexplained }) => ({
      sample: names(count.id),
      at: count.happenedAt,
      expected: expected,
      alive: count.alive,
      unexplained: unexplained,
      deadSeen: count.deadSeen,
    })),
    rations: rations.map((one) => ({
      at: one.happenedAt,
      culture: names(one.cultureId),
      litres: one.litres,
      cellsPerMl: one.cellsPerMl,
    })),
    water: water.map(({ happenedAt, temperatureC, salinityPpt, ph, oxygenMgL, note }) => ({
      at: happenedAt,
      temperatureC,
      salinityPpt,
      ph,
      oxygenMgL,
      note,
    })),
  };
};

export const showCulture: ShowView = async (desk, name) => {
  const { parts } = desk;
  const names = await houseNames(parts);
  const culture = await find(desk, 'culture', name);
  const readings = (await parts.cultureReadings.list()).filter(({ cultureId }) => cultureId === culture.id);
  const rations = (await parts.rations.list()).filter(({ cultureId }) => cultureId === culture.id);
  return {
    id: culture.id,
    culture: culture.name,
    alga: culture.species,
    note: culture.note,
    readings: readings.map(({ happenedAt, litres, cellsPerMl, tally, by, note }) => ({
      at: happenedAt,
      litres,
      cellsPerMl,
      cells: tally?.cells ?? null,
      countedMl: tally?.volumeMl ?? null,
      by,
      note,
    })),
    given: rations.map((one) => ({ at: one.happenedAt, tank: names(one.tankId), litres: one.litres })),
  };
};
