import type { NewDecision, StoredDecisions } from '@veligrid/api';
import { VeligridError, type PhotoCount } from '@veligrid/model';
import { mergeDecisions, viewOf, type Conflict, type Decision } from '@veligrid/review';
import type { DecisionEntry, DecisionFields, JsonObject } from '@veligrid/storage';
import type { Call } from '../http/call.js';
import type { Given } from '../http/given.js';
import { notThere, ProblemError } from '../http/problem-error.js';
import type { House } from '../house.js';
import { checkOpen, findSample, readSample, type ReadSample } from '../samples/read-sample.js';
import { countsOf, decisionOf, logOf } from './counts.js';

/** Others may append between reading and writing; after so many rounds something else is wrong. */
const MOST_ROUNDS = 5;

const isAbout = (decision: Decision): decision is Extract<Decision, { readonly photo: string }> =>
  decision.kind !== 'undo' && decision.kind !== 'redo';

const fieldsOf = (decision: Decision): DecisionFields => ({
  id: decision.id,
  photoId: isAbout(decision) ? decision.photo : null,
  kind: decision.kind,
  by: decision.by,
  at: decision.at,
  payload: structuredClone(decision) as unknown as JsonObject,
});

/** Photos that decisions change, found through the log for undoing and redoing. */
function photosOf(decisions: readonly Decision[], log: readonly Decision[]): Set<string> {
  const byId = new Map([...log, ...decisions].map((one) => [one.id, one]));
  return new Set(
    decisions.flatMap((one) => {
      const about = isAbout(one) ? one : byId.get(one.decision);
      return about !== undefined && isAbout(about) ? [about.photo] : [];
    }),
  );
}

/** What there is to decide on, and by whom. */
interface Round {
  readonly counts: readonly PhotoCount[];
  /** Decisions about the photos in question. */
  readonly base: readonly Decision[];
  readonly newer: readonly Decision[];
  readonly own: readonly Decision[];
}

/** What clashes with what others decided since. */
function conflictsOf({ counts, base, newer, own }: Round): readonly Conflict[] {
  if (newer.length === 0) return [];
  return mergeDecisions(counts, base, { mine: [...base, ...own], theirs: [...base, ...newer] }).conflicts;
}

/** Tries the decisions; what can't be because of newer ones is a conflict, what can't be at all is the sender's fault. */
function tryOut({ counts, base, newer, own }: Round): VeligridError | null {
  try {
    viewOf(counts, [...base, ...newer, ...own]);
    return null;
  } catch (error) {
    if (error instanceof VeligridError) return error;
    throw error;
  }
}

function conflict(order: number, newer: readonly DecisionEntry[], conflicts: readonly Conflict[]): ProblemError {
  const [first] = conflicts;
  const why = first?.reason ?? 'What they decided leaves no place for this.';
  return new ProblemError('conflict', `Others decided on this slide since. ${why} Look at theirs, then decide again.`, {
    code: 'decided-since',
    order,
    newer: newer.map(decisionOf),
    conflicts,
  });
}

/** Decisions, and how many their maker had seen. */
export interface Sent {
  readonly expectedOrder: number;
  readonly own: readonly Decision[];
}

/** One try to append; null when somebody was faster. */
async function appendOnce(house: House, of: ReadSample, sent: Sent): Promise<Given<StoredDecisions> | null> {
  const entries = await house.store.decisions.ofSample(of.sample.id);
  const known = new Map(entries.map((entry) => [entry.id, entry]));
  const own = sent.own.filter(({ id }) => !known.has(id));
  const order = entries.length;
  // sent again because an answer was lost
  const repeated = sent.own.flatMap(({ id }) => known.get(id) ?? []);
  const others = entries.slice(sent.expectedOrder).filter((entry) => !repeated.includes(entry));
  if (own.length > 0) {
    const log = entries.map(decisionOf);
    const photos = photosOf(own, log);
    const about = logOf(log, photos);
    const since = new Set(others.map(({ id }) => id));
    const counts = await countsOf(
      house,
      of.photos.filter(({ id }) => photos.has(id)),
    );
    if (counts.length < photos.size) throw notThere('counted photo in this sample');
    const newer = about.filter(({ id }) => since.has(id));
    const round = { counts, base: about.filter(({ id }) => !since.has(id)), newer, own };
    const conflicts = conflictsOf(round);
    const fault = conflicts.length > 0 ? null : tryOut(round);
    if (conflicts.length > 0 || (fault !== null && newer.length > 0)) throw conflict(order, others, conflicts);
    if (fault !== null) throw fault;
    const appended = await house.store.decisions.append(of.sample.id, order, own.map(fieldsOf));
    if (appended.kind === 'conflict') return null;
    repeated.push(...appended.entries);
  }
  const stored = repeated.toSorted((a, b) => a.order - b.order);
  return {
    order: Math.max(order, stored.at(-1)?.order ?? 0),
    stored: stored.map(decisionOf),
    newer: others.map(decisionOf),
  };
}

/** Who and when, said by the server. */
const stamp = (decision: NewDecision, by: string, at: string): Decision => ({ ...decision, by, at });

/**
 * Keeps decisions, trying again when others were faster.
 *
 * @throws ProblemError `conflict` when they leave no place for them
 */
export async function keepDecisions(house: House, of: ReadSample, sent: Sent): Promise<Given<StoredDecisions>> {
  for (let round = 0; round < MOST_ROUNDS; round += 1) {
    const stored = await appendOnce(house, of, sent);
    if (stored !== null) return stored;
  }
  throw new ProblemError('conflict', 'Others are deciding at the same moment. Send it again.', {});
}

/**
 * Appends decisions to the log of a sample. What others decided since is merged where both can stand; where not, nothing
 * is stored and the problem shows both.
 */
export async function appendDecisions({
  house,
  params,
  body,
  by,
}: Call<'addDecisions'>): Promise<Given<StoredDecisions>> {
  const sample = await findSample(house, params['sample']);
  const of = await readSample(house, sample);
  checkOpen(of);
  if (body.expectedOrder > of.decisions.length) {
    throw new ProblemError('bad-request', `expectedOrder: there are ${String(of.decisions.length)} decisions only.`);
  }
  const at = house.now().toISOString();
  const sent = { expectedOrder: body.expectedOrder, own: body.decisions.map((one) => stamp(one, by, at)) };
  return keepDecisions(house, of, sent);
}
