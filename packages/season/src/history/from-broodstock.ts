import type { Desk } from '../record/desk.js';
import { figure } from './view.js';
import type { Names } from './house-names.js';
import { happening, words, type Happening } from './happening.js';

const named = (ids: readonly string[], names: Names): string => ids.map((id) => names(id) ?? '').join(' + ');
const unit = (value: number | null, of: string): string | null => (value === null ? null : `${figure(value)} ${of}`);

/** Spawns, what each parent did, and crosses that batches come from. */
export async function fromBroodstock({ parts }: Desk, batchIds: readonly string[], names: Names): Promise<Happening[]> {
  const origins = (await parts.origins.list()).filter(({ batchId }) => batchIds.includes(batchId));
  const crosses = (await parts.crosses.list()).filter(({ id }) => origins.some(({ crossId }) => crossId === id));
  const parents = new Set(crosses.flatMap(({ dams, sires }) => [...dams, ...sires]));
  const spawns = (await parts.spawns.list()).filter(({ id }) => crosses.some(({ spawnId }) => spawnId === id));
  const results = (await parts.spawnResults.list()).filter(
    ({ spawnId, animalId }) => parents.has(animalId) && spawns.some(({ id }) => id === spawnId),
  );
  const temperatures = (one: (typeof spawns)[number]): string | null =>
    one.raisedC === null
      ? null
      : `${one.ambientC === null ? '' : `${figure(one.ambientC)} to `}${figure(one.raisedC)} C`;
  return [
    ...spawns.map((one) =>
      happening(one.happenedAt, 'spawn', { text: words(one.name, one.cue, temperatures(one), one.note), by: one.by }),
    ),
    ...results.map((one) =>
      happening(one.happenedAt, one.outcome.replaceAll('-', ' '), {
        animals: one.gametes,
        text: words(`${names(one.animalId) ?? ''} (${one.sex})`, unit(one.gameteMl, 'mL'), one.note),
        by: one.by,
      }),
    ),
    ...crosses.map((one) =>
      happening(one.happenedAt, 'cross', {
        animals: one.eggs,
        text: words(
          one.name,
          `${named(one.dams, names)} x ${named(one.sires, names)}`,
          one.pooledSperm ? 'pooled sperm' : null,
          one.note,
        ),
        by: one.by,
      }),
    ),
    ...origins.map((one) =>
      happening(one.happenedAt, 'batch begun', {
        batch: names(one.batchId),
        animals: one.eggs,
        text: `from ${names(one.crossId) ?? ''}`,
        by: one.by,
      }),
    ),
  ];
}
