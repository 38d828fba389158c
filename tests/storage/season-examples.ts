import type { MoveFields } from '@veligrid/model';
import type { Parts } from '@veligrid/storage';
import { batch, SAID } from './examples.js';

export const AT = '2026-06-01T08:00:00.000Z';

/** Animals, a spawn, a cross, a batch of it and two tanks. */
export interface SeasonExample {
  readonly damId: string;
  readonly sireId: string;
  readonly spawnId: string;
  readonly crossId: string;
  readonly batchId: string;
  readonly tankId: string;
  readonly otherTankId: string;
}

/** Keeps the beginning of a season. */
export async function beginSeason(parts: Parts, name = '1-15'): Promise<SeasonExample> {
  const animal = { species: 'eastern-oyster', line: 'R', origin: 'own', selectedFor: 'growth', note: '', active: true };
  const { id: damId } = await parts.broodstock.add({ ...animal, name: `${name} dam`, sex: 'female' }, SAID);
  const { id: sireId } = await parts.broodstock.add({ ...animal, name: `${name} sire`, sex: 'unknown' }, SAID);
  const { id: spawnId } = await parts.spawns.append(
    {
      name,
      species: 'eastern-oyster',
      happenedAt: AT,
      endedAt: null,
      ambientC: 19.5,
      raisedC: 27,
      cue: 'warm water',
      note: '',
    },
    SAID,
  );
  const { id: crossId } = await parts.crosses.append(
    {
      spawnId,
      name,
      happenedAt: AT,
      dams: [damId],
      sires: [sireId],
      pooledSperm: false,
      eggs: 2e6,
      sperm: null,
      note: '',
    },
    SAID,
  );
  const { id: batchId } = await parts.batches.add({ ...batch, name }, SAID);
  const tank = { volumeMl: 1e6, volumeStandardUncertaintyMl: 1e4, note: '', active: true };
  const { id: tankId } = await parts.tanks.add({ ...tank, name }, SAID);
  const { id: otherTankId } = await parts.tanks.add({ ...tank, name: `${name} b` }, SAID);
  return { damId, sireId, spawnId, crossId, batchId, tankId, otherTankId };
}

/** A stocking, or what is made of it. */
export const moved = (example: SeasonExample, fields: Partial<MoveFields> = {}): MoveFields => ({
  kind: 'stock',
  happenedAt: AT,
  batchId: example.batchId,
  fromTankId: null,
  toTankId: example.tankId,
  intoBatchId: null,
  number: 1e6,
  low: 9e5,
  high: 1.1e6,
  emptied: false,
  sampleId: null,
  screenUm: null,
  place: '',
  note: '',
  ...fields,
});

/** One entry of each kind. */
export async function wholeSeason(parts: Parts, name?: string): Promise<SeasonExample> {
  const example = await beginSeason(parts, name);
  const { spawnId, damId, crossId, batchId, tankId } = example;
  const result = { spawnId, animalId: damId, happenedAt: AT, outcome: 'spawned', sex: 'female', note: '' } as const;
  await parts.spawnResults.append({ ...result, gameteMl: 250, gametes: 2e6 }, SAID);
  await parts.parents.append({ animalId: damId, happenedAt: AT, dam: 'G-1', sire: '', note: '' }, SAID);
  await parts.spermChecks.append({ crossId, happenedAt: AT, attachedPerEgg: 3.5, eggs: 40, note: '' }, SAID);
  await parts.origins.append({ batchId, crossId, happenedAt: AT, eggs: 2e6, note: '' }, SAID);
  const { id: moveId } = await parts.moves.append(moved(example), SAID);
  const culture = await parts.cultures.add({ name: 'T-1', species: 'Tisochrysis', note: '', active: true }, SAID);
  const reading = { cultureId: culture.id, happenedAt: AT, litres: 200, note: '' };
  const steps = [{ takenMl: 1, madeUpToMl: 10 }];
  await parts.cultureReadings.append(
    { ...reading, cellsPerMl: 5e6, tally: { cells: 450, volumeMl: 0.0009, steps } },
    SAID,
  );
  await parts.rations.append(
    { tankId, cultureId: culture.id, happenedAt: AT, litres: 3.5, cellsPerMl: null, note: '' },
    SAID,
  );
  const water = { tankId: null, happenedAt: AT, temperatureC: 26.4, salinityPpt: 18, note: 'filter changed' };
  await parts.waterNotes.append({ ...water, ph: null, oxygenMgL: 0 }, SAID);
  const setting = { batchId, moveId, happenedAt: AT, larvae: 1000, cultch: 'whole shell', note: '' };
  const { id: settingId } = await parts.settingEvents.append({ ...setting, shells: 100, bags: null }, SAID);
  await parts.spatCounts.append({ settingId, happenedAt: AT, shells: 10, spat: 0, note: '' }, SAID);
  return example;
}
