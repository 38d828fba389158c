import type { RulesHistory, RulesVersion } from '@veligrid/api';
import { learnRules, loadSpecies, rulesJson, type Comparison, type Learned } from '@veligrid/imaging';
import type { JsonObject } from '@veligrid/storage';
import type { Call, Handlers } from '../http/call.js';
import { ProblemError } from '../http/problem-error.js';
import type { House } from '../house.js';
import { checkedLarvae } from './checked-larvae.js';
import { allRules, findVersion, historyOf, inForce, keepRecord, putInForce, readRecord } from './rules-state.js';

type LearnedAnswer = NonNullable<RulesVersion['learned']>;
type Agreement = NonNullable<LearnedAnswer['heldOut']>;

const cells = ({ stages, table }: Comparison['before']): Agreement['tableBefore'] =>
  stages.flatMap((truth, row) =>
    stages.flatMap((judged, column) => {
      const larvae = table[row]?.[column] ?? 0;
      return larvae === 0 ? [] : [{ truth, judged, larvae }];
    }),
  );

const agreement = (comparison: Comparison): Agreement => ({
  larvae: comparison.larvae,
  slides: comparison.slides,
  before: comparison.agreementBefore.accuracy,
  after: comparison.agreementAfter.accuracy,
  putRight: comparison.onlyOldWrong,
  putWrong: comparison.onlyNewWrong,
  p: comparison.p,
  tableBefore: cells(comparison.before),
  tableAfter: cells(comparison.after),
});

const answerOf = ({ gate, audited, touched }: Learned, larvae: number, slides: number): LearnedAnswer => ({
  larvae,
  slides,
  touched: touched.map((one) => ({ ...one })),
  heldOut: audited === null ? null : agreement(audited),
  accepted: gate.accepted,
  weak: gate.weak,
  reasons: [...gate.reasons],
});

/** The next version that nobody has: `1` gives `1.1`, `1.1` gives `1.2`. */
function nextVersion(version: string, taken: readonly string[]): string {
  const match = /^(.*)\.(\d+)$/.exec(version);
  const next = match === null ? `${version}.1` : `${match[1] ?? ''}.${String(Number(match[2]) + 1)}`;
  return taken.includes(next) ? nextVersion(next, taken) : next;
}

async function speciesOf(params: Readonly<Record<string, string>>): Promise<string> {
  return (await loadSpecies(params['species'] ?? '')).species;
}

const slidesOf = (checks: readonly { readonly slide: string }[]): number =>
  new Set(checks.map(({ slide }) => slide)).size;

async function answer(house: House, species: string): Promise<RulesHistory> {
  const { checks, corrected } = await checkedLarvae(house, species);
  return historyOf(house.store, species, { larvae: checks.length, corrected, slides: slidesOf(checks) });
}

async function learn({ house, params, by }: Call<'learnStageRules'>): Promise<RulesVersion> {
  const { store } = house;
  const species = await speciesOf(params);
  const { checks } = await checkedLarvae(house, species);
  if (checks.length === 0) {
    throw new ProblemError(
      'refused',
      'No signed-off count holds a checked larva yet. Correct and sign off some first.',
    );
  }
  const all = await allRules(store, species);
  const current = await inForce(store, species);
  const old = all.find(({ rules }) => rules.version === current)?.rules;
  if (old === undefined) throw new Error(`The stage rules ${current} in force are not kept`);
  const version = nextVersion(
    current,
    all.map(({ rules }) => rules.version),
  );
  const learned = learnRules(old, checks, { version });
  await store.together(async (parts) => {
    const content = JSON.parse(rulesJson(learned.rules)) as JsonObject;
    await parts.rules.append({ kind: 'stage-rules', name: species, version, content }, { by });
    const record = await readRecord(parts, species);
    const entry = { refused: false, taken: false, learned: answerOf(learned, checks.length, slidesOf(checks)) };
    await keepRecord(parts, species, { ...record, versions: { ...record.versions, [version]: entry } }, by);
  });
  return findVersion(store, species, version);
}

async function take({ house, params, body, by }: Call<'takeStageRules'>): Promise<RulesHistory> {
  const { store } = house;
  const species = await speciesOf(params);
  const { version, state, learned, made } = await findVersion(store, species, params['version']);
  if (state === 'in-force') throw new ProblemError('refused', `The rules ${version} are in force already.`);
  if (learned !== null && !learned.accepted) {
    throw new ProblemError(
      'refused',
      `The rules ${version} are no better on larvae held out: ${learned.reasons.join('; ')}.`,
    );
  }
  await store.together(async (parts) => {
    await putInForce(parts, species, { name: version, starting: made === null }, by);
    const record = await readRecord(parts, species);
    const known = record.versions[version];
    const what = state === 'earlier' ? ('gone-back' as const) : ('taken' as const);
    const change = { by, at: house.now().toISOString(), what, version, reason: body.reason ?? null };
    const versions =
      known === undefined ? record.versions : { ...record.versions, [version]: { ...known, taken: true } };
    await keepRecord(parts, species, { versions, changes: [...record.changes, change] }, by);
  });
  return answer(house, species);
}

async function refuse({ house, params, body, by }: Call<'refuseStageRules'>): Promise<RulesHistory> {
  const species = await speciesOf(params);
  const { version, state } = await findVersion(house.store, species, params['version']);
  if (state !== 'proposed')
    throw new ProblemError('refused', `The rules ${version} are not proposed, so there is nothing to refuse.`);
  await house.store.together(async (parts) => {
    const record = await readRecord(parts, species);
    const known = record.versions[version];
    if (known === undefined) return;
    const change = {
      by,
      at: house.now().toISOString(),
      what: 'refused' as const,
      version,
      reason: body.reason ?? null,
    };
    const versions = { ...record.versions, [version]: { ...known, refused: true } };
    await keepRecord(parts, species, { versions, changes: [...record.changes, change] }, by);
  });
  return answer(house, species);
}

export const stageRulesHandlers: Handlers<'getStageRules' | 'learnStageRules' | 'takeStageRules' | 'refuseStageRules'> =
  {
    getStageRules: async ({ house, params }) => answer(house, await speciesOf(params)),
    learnStageRules: learn,
    takeStageRules: take,
    refuseStageRules: refuse,
  };
