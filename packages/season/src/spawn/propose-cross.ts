import { equalGametes, poolParts, type EqualGametes, type GameteDonor, type PoolPart } from '@veligrid/hatchery';
import { badArgument, type SpawnResultFields } from '@veligrid/model';
import type { Parts } from '@veligrid/storage';
import { answerPlan } from '../plan/answer-plan.js';
import type { AnswerOf } from '../plan/answers.js';
import { ownFiguresOf } from '../plan/own-figures.js';
import { housePedigree } from '../record/house-pedigree.js';

/** A cross that is thought of. */
export interface CrossQuestion {
  readonly spawnId: string;
  readonly species: string;
  /** Ids of animals. */
  readonly dams: readonly string[];
  readonly sires: readonly string[];
  readonly pooledSperm: boolean;
}

/** What a cross would be worth, before anybody makes it. */
export interface ProposedCross {
  readonly breeders: AnswerOf<'breeders'>;
  /** Tags of animals without recorded parents: kinship takes them as unrelated to all others. */
  readonly parentsUnknown: readonly string[];
  /** The same eggs of each dam and the same sperm of each sire; null where nobody measured what they gave. */
  readonly eggs: EqualGametes | null;
  readonly sperm: EqualGametes | null;
  /** The pooled eggs in equal parts, one for each sire; null when there is no pool yet, or one sire. */
  readonly pool: readonly PoolPart[] | null;
}

type Result = SpawnResultFields & { readonly id: string };

/** What animals gave in a spawn; null when one of them has no mL. */
function donorsOf(ids: readonly string[], tags: readonly string[], results: readonly Result[]): GameteDonor[] | null {
  const donors = ids.flatMap((id, i): GameteDonor[] => {
    const gave = results.findLast(({ animalId, gameteMl }) => animalId === id && (gameteMl ?? 0) > 0);
    const number = gave?.gametes ?? null;
    if (gave?.gameteMl === null || gave === undefined) return [];
    return [{ animal: tags[i] ?? id, ml: gave.gameteMl, number: number === 0 ? null : number }];
  });
  return donors.length === ids.length && donors.length > 0 ? donors : null;
}

/** Shares of progeny as far as the eggs, or sperm, tell them. */
function breedersOf(
  tags: readonly string[],
  donors: readonly GameteDonor[] | null,
): { animal: string; share?: number }[] {
  const known = donors !== null && donors.every(({ number }) => number !== null);
  if (tags.length === 1) return tags.map((animal) => ({ animal, share: 1 }));
  return tags.map((animal, i) => (known ? { animal, share: donors[i]?.number ?? 0 } : { animal }));
}

async function tagsOf(parts: Parts, ids: readonly string[], name: string): Promise<string[]> {
  const animals = await parts.broodstock.list();
  if (ids.length === 0) throw badArgument(name, 'one animal or more', 'none');
  return ids.map((id) => {
    const animal = animals.find((one) => one.id === id);
    if (animal === undefined) throw badArgument(name, 'animals that are kept', id);
    return animal.name;
  });
}

/** Pairs of all crosses that were made. */
async function triedPairs(parts: Parts): Promise<{ sire: string; dam: string }[]> {
  const [animals, crosses] = [await parts.broodstock.list(), await parts.crosses.list()];
  const tag = (id: string): string => animals.find((one) => one.id === id)?.name ?? id;
  return crosses.flatMap(({ dams, sires }) =>
    dams.flatMap((dam) => sires.map((sire) => ({ dam: tag(dam), sire: tag(sire) }))),
  );
}

/**
 * Judges a cross before it is made: effective number of breeders, kinship of each pair, and equal shares.
 *
 * @throws VeligridError `bad-argument` for animals that are not kept, or none
 */
export async function proposeCross(
  parts: Parts,
  { spawnId, species, dams, sires, pooledSperm }: CrossQuestion,
): Promise<ProposedCross> {
  const [damTags, sireTags] = [await tagsOf(parts, dams, 'dams'), await tagsOf(parts, sires, 'sires')];
  const results = (await parts.spawnResults.list()).filter((one) => one.spawnId === spawnId);
  const [eggDonors, spermDonors] = [donorsOf(dams, damTags, results), donorsOf(sires, sireTags, results)];
  const { pedigree, withParents } = await housePedigree(parts);
  const question = {
    kind: 'breeders',
    dams: breedersOf(damTags, eggDonors),
    // sperm that was pooled competes: what each male gave says little of what it sires
    sires: breedersOf(sireTags, pooledSperm ? null : spermDonors),
    proposed: damTags.flatMap((dam) => sireTags.map((sire) => ({ dam, sire }))),
    tried: await triedPairs(parts),
    ...(pedigree.length === 0 ? {} : { pedigree }),
  };
  const own = await ownFiguresOf(parts, species);
  const breeders = await answerPlan({ ...question, species }, own === null ? [] : [own.preset]);
  if (breeders.kind !== 'breeders') throw new Error('A question of breeders was answered as another');
  const eggs = eggDonors === null ? null : equalGametes(eggDonors);
  return {
    breeders,
    parentsUnknown: [...damTags, ...sireTags].filter((tag) => !withParents.has(tag)),
    eggs,
    sperm: spermDonors === null ? null : equalGametes(spermDonors),
    pool: eggs === null || sireTags.length < 2 ? null : poolParts(eggs.totalMl, sireTags),
  };
}
