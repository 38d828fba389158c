import { z } from 'zod';
import type { RulesHistory, RulesVersion } from '@veligrid/api';
import { loadStartingRules, parseStageRules, type StageRules } from '@veligrid/imaging';
import { RULES_IN_USE } from '@veligrid/jobs';
import { routes } from '@veligrid/api';
import type { JsonObject, Store } from '@veligrid/storage';
import { notThere } from '../http/problem-error.js';

const history = routes.getStageRules.answer;

/** What is known of learned versions beside the rules themselves. */
const record = z.object({
  versions: z.record(
    z.string(),
    z.object({ refused: z.boolean(), taken: z.boolean(), learned: history.shape.versions.element.shape.learned }),
  ),
  changes: history.shape.changes,
});

/** The same as a type. */
export interface RulesRecord {
  readonly versions: Readonly<
    Record<string, { readonly refused: boolean; readonly taken: boolean; readonly learned: RulesVersion['learned'] }>
  >;
  readonly changes: RulesHistory['changes'];
}

const keyOf = (species: string): string => `stage-rules:${species}`;

/** Reads what happened to the rules of a species. */
export async function readRecord(store: Pick<Store, 'settings'>, species: string): Promise<RulesRecord> {
  return record.parse((await store.settings.get(keyOf(species))) ?? { versions: {}, changes: [] });
}

/** Keeps it; earlier ones stay in the history of settings. */
export async function keepRecord(
  store: Pick<Store, 'settings'>,
  species: string,
  kept: RulesRecord,
  by: string,
): Promise<void> {
  await store.settings.set(keyOf(species), JSON.parse(JSON.stringify(kept)) as JsonObject, { by });
}

/** All versions for a species, the starting one first, with who made them. */
export async function allRules(
  store: Store,
  species: string,
): Promise<readonly { readonly rules: StageRules; readonly made: RulesVersion['made'] }[]> {
  const learned = (await store.rules.list('stage-rules')).filter(({ name }) => name === species);
  return [
    { rules: await loadStartingRules(), made: null },
    ...learned.map(({ content, by, at }) => ({ rules: parseStageRules(content), made: { by, at } })),
  ];
}

/** Version in force for a species. */
export async function inForce(store: Store, species: string): Promise<string> {
  const setting = await store.settings.get(RULES_IN_USE);
  const version = setting !== null && typeof setting === 'object' ? (setting as JsonObject)[species] : null;
  return typeof version === 'string' ? version : (await loadStartingRules()).version;
}

/** Puts a version in force: counting goes by it from now on. The starting rules are in force when nothing is set. */
export async function putInForce(
  store: Pick<Store, 'settings'>,
  species: string,
  version: { readonly name: string; readonly starting: boolean },
  by: string,
): Promise<void> {
  const setting = await store.settings.get(RULES_IN_USE);
  const others = setting !== null && typeof setting === 'object' ? { ...(setting as JsonObject) } : {};
  await store.settings.set(RULES_IN_USE, { ...others, [species]: version.starting ? null : version.name }, { by });
}

function stateOf(version: string, current: string, { versions }: RulesRecord): RulesVersion['state'] {
  if (version === current) return 'in-force';
  const known = versions[version];
  if (known === undefined || known.taken) return 'earlier';
  return known.refused ? 'refused' : 'proposed';
}

/** Every version as it is answered. */
async function versionsOf(store: Store, species: string): Promise<RulesVersion[]> {
  const [all, current, kept] = await Promise.all([
    allRules(store, species),
    inForce(store, species),
    readRecord(store, species),
  ]);
  return all.map(({ rules: { version, parent, origin }, made }) => ({
    version,
    species,
    parent,
    origin: origin.what,
    state: stateOf(version, current, kept),
    made,
    learned: kept.versions[version]?.learned ?? null,
  }));
}

/** @throws ProblemError `not-found` */
export async function findVersion(store: Store, species: string, version: string | undefined): Promise<RulesVersion> {
  const found = (await versionsOf(store, species)).find((one) => one.version === version);
  if (found === undefined) throw notThere('version of the stage rules');
  return found;
}

/** The whole history as it is answered. */
export async function historyOf(
  store: Store,
  species: string,
  waiting: RulesHistory['waiting'],
): Promise<RulesHistory> {
  const [versions, { changes }] = await Promise.all([versionsOf(store, species), readRecord(store, species)]);
  return { inForce: await inForce(store, species), versions, changes, waiting };
}
