import { VeligridError, type AnimalFields } from '@veligrid/model';
import type { Said, SeasonEntry, SeasonLog, SeasonVersion } from '@veligrid/storage';
import { checkNewName, type Desk } from './desk.js';

/** What correcting goes by. */
export type Correcting<Fields> = Pick<SeasonLog<Fields>, 'versions' | 'correct' | 'withdraw'>;

const same = (one: string, other: string): boolean => one.toLowerCase() === other.toLowerCase();

/** Parents are recorded by tag: where an animal's tag is corrected, its young name the new one. */
async function renameAsParent({ parts }: Desk, from: string, to: string, said: Said): Promise<void> {
  for (const { id, version, dam, sire } of await parts.parents.list()) {
    const fields = { ...(same(dam, from) ? { dam: to } : {}), ...(same(sire, from) ? { sire: to } : {}) };
    if (Object.keys(fields).length > 0) await parts.parents.correct(id, version, fields, said);
  }
}

/** @throws VeligridError `refused` for an animal that something else recorded names */
async function refuseNamed({ parts }: Desk, { id, name }: AnimalFields & { readonly id: string }): Promise<void> {
  const results = (await parts.spawnResults.list()).some(({ animalId }) => animalId === id);
  const crosses = (await parts.crosses.list()).some(({ dams, sires }) => [...dams, ...sires].includes(id));
  const young = (await parts.parents.list()).some(
    ({ animalId, dam, sire }) => animalId === id || same(dam, name) || same(sire, name),
  );
  if (!results && !crosses && !young) return;
  const message = `${name} stands in what is recorded of a spawn, a cross or parents. Take that back first.`;
  throw new VeligridError('refused', message);
}

/** Animals as something that is said and corrected; every version of them stays in the table of changes. */
export function animalLog(desk: Desk): Correcting<AnimalFields> {
  const { broodstock } = desk.parts;
  return {
    async versions(id): Promise<readonly SeasonVersion<AnimalFields>[]> {
      if ((await broodstock.get(id)) === null) return [];
      const said = await broodstock.history(id);
      return said.map(({ revision, by, at, why, fields }) => ({
        ...fields,
        ...{ id, version: revision, by, at, why, withdrawn: !fields.active },
      }));
    },
    async correct(id, version, fields, said): Promise<SeasonEntry<AnimalFields>> {
      const before = await broodstock.get(id);
      const { name } = fields;
      if (before !== null && name !== undefined && name !== before.name) {
        if (!same(name, before.name)) await checkNewName(desk, 'animal', name);
        await renameAsParent(desk, before.name, name, said);
      }
      const kept = await broodstock.change(id, version, { ...fields, active: true }, said);
      return { ...kept, version: kept.revision, by: kept.changedBy, at: kept.changedAt, why: said.why ?? null };
    },
    async withdraw(id, version, said): Promise<void> {
      const before = await broodstock.get(id);
      if (before !== null) await refuseNamed(desk, before);
      await broodstock.change(id, version, { active: false }, said);
    },
  };
}
