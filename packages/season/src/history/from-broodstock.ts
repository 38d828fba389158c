import type { CrossFields, SpawnFields } from '@veligrid/model';
import type { SeasonEntry } from '@veligrid/storage';
import type { Desk } from '../record/desk.js';
import { fact, factIf } from './fact.js';
import { happening, linkOf, type Happening } from './happening.js';
import { named, type Names } from './house-names.js';

const together = (ids: readonly string[], names: Names): string => ids.map((id) => names(id) ?? '').join(' + ');

function spawnHappening(one: SeasonEntry<SpawnFields>): Happening {
  const { name, cue, ambientC, raisedC, note } = one;
  const warmed = ambientC === null ? fact('raised', raisedC) : fact('warmed', raisedC, { of: ambientC });
  return happening({
    at: one.happenedAt,
    kind: 'spawn',
    facts: [...fact('name', name), ...fact('cue', cue), ...warmed, ...fact('note', note)],
    by: one.by,
    entries: [linkOf('spawn', one)],
  });
}

function crossHappening(one: SeasonEntry<CrossFields>, names: Names): Happening {
  return happening({
    at: one.happenedAt,
    kind: 'cross',
    animals: one.eggs,
    facts: [
      ...fact('name', one.name),
      ...fact('parents', `${together(one.dams, names)} x ${together(one.sires, names)}`),
      ...factIf('pooled-sperm', one.pooledSperm),
      ...fact('note', one.note),
    ],
    by: one.by,
    entries: [linkOf('cross', one)],
  });
}

/** Spawns, what each parent did, and crosses that batches come from. */
export async function fromBroodstock({ parts }: Desk, batchIds: readonly string[], names: Names): Promise<Happening[]> {
  const origins = (await parts.origins.list()).filter(({ batchId }) => batchIds.includes(batchId));
  const crosses = (await parts.crosses.list()).filter(({ id }) => origins.some(({ crossId }) => crossId === id));
  const parents = new Set(crosses.flatMap(({ dams, sires }) => [...dams, ...sires]));
  const spawns = (await parts.spawns.list()).filter(({ id }) => crosses.some(({ spawnId }) => spawnId === id));
  const results = (await parts.spawnResults.list()).filter(
    ({ spawnId, animalId }) => parents.has(animalId) && spawns.some(({ id }) => id === spawnId),
  );
  return [
    ...spawns.map(spawnHappening),
    ...results.map((one) =>
      happening({
        at: one.happenedAt,
        kind: one.outcome,
        animals: one.gametes,
        facts: [
          ...fact('animal', names(one.animalId)),
          ...fact('sex', one.sex),
          ...fact('gametes-ml', one.gameteMl),
          ...fact('note', one.note),
        ],
        by: one.by,
        entries: [linkOf('spawn-result', one)],
      }),
    ),
    ...crosses.map((one) => crossHappening(one, names)),
    ...origins.map((one) =>
      happening({
        at: one.happenedAt,
        kind: 'batch-begun',
        batch: named(names, one.batchId),
        animals: one.eggs,
        facts: fact('from-cross', names(one.crossId)),
        by: one.by,
        entries: [linkOf('batch-origin', one)],
      }),
    ),
  ];
}
