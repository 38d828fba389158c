import { badArgument, type PhotoCount } from '@veligrid/model';
import { isDirect, type Decision, type DirectDecision, type DrawnObject } from './decision.js';
import { checkLog, standing } from './history.js';
import { outlineMeasures } from './outline.js';
import { viewOf } from './view.js';

/** Two decisions of different people that can not both stand. Neither is taken until someone says which. */
export interface Conflict {
  readonly mine: DirectDecision;
  readonly theirs: DirectDecision;
  /** One plain sentence. */
  readonly reason: string;
}

/** The outcome of a merge. */
export interface Merged {
  /** One log with everything that agrees, by time. */
  readonly log: readonly Decision[];
  readonly conflicts: readonly Conflict[];
}

/** What a decision is about, so that two about the same can be seen: objects it changes, and which side of them. */
function objectsOf(decision: DirectDecision): readonly string[] {
  switch (decision.kind) {
    case 'relabel':
    case 'form':
    case 'remove':
    case 'redraw':
    case 'split':
      return [decision.object];
    case 'join':
      return decision.objects;
    case 'add':
    case 'reject-photo':
    case 'choose-squares':
    case 'note':
      return [];
  }
}

/** Kinds that make an object vanish: nothing else can be decided of it. */
const ENDS = ['remove', 'split', 'join'];

/** The decision without who, when and id. */
const content = (decision: DirectDecision): string => JSON.stringify({ ...decision, id: '', by: '', at: '' });

/** Whether two drawn objects are the same animal drawn twice: middles nearer than half of the larger. */
function samePlace(a: DrawnObject, b: DrawnObject): boolean {
  const [one, two] = [outlineMeasures(a.outline), outlineMeasures(b.outline)];
  return Math.hypot(one.x - two.x, one.y - two.y) < Math.max(one.lengthPx, two.lengthPx) / 2;
}

/** Objects that a decision drew. */
function drawnBy(decision: DirectDecision): readonly DrawnObject[] {
  if (decision.kind === 'add') return [decision.drawn];
  if (decision.kind === 'split') return decision.into;
  return decision.kind === 'join' ? [decision.into] : [];
}

/** Why two that draw clash, or null. */
function drawnClash(mine: DirectDecision, theirs: DirectDecision): string | null {
  const named = drawnBy(mine).find(({ id }) => drawnBy(theirs).some((other) => other.id === id));
  if (named !== undefined) return `Both drew an object and called it ${named.id}.`;
  const twice = mine.kind === 'add' && theirs.kind === 'add' && samePlace(mine.drawn, theirs.drawn);
  return twice ? 'Both drew an object in the same place.' : null;
}

/** Why two about one object clash, or null. */
function objectClash(mine: DirectDecision, theirs: DirectDecision): string | null {
  const shared = objectsOf(mine).find((object) => objectsOf(theirs).includes(object));
  if (shared === undefined) return null;
  if (mine.kind === theirs.kind) return `Both decided on ${shared}, and not the same.`;
  const ended = ENDS.includes(mine.kind) || ENDS.includes(theirs.kind);
  return ended ? `One has taken ${shared} away that the other still changed.` : null;
}

/** Why two decisions clash, or null when both can stand. */
function clash(mine: DirectDecision, theirs: DirectDecision): string | null {
  if (mine.photo !== theirs.photo || content(mine) === content(theirs)) return null;
  if (mine.kind === 'choose-squares' && theirs.kind === 'choose-squares') {
    return 'Both chose squares, and not the same ones.';
  }
  return drawnClash(mine, theirs) ?? objectClash(mine, theirs);
}

/** The part of a log after the common one. */
function branch(base: readonly Decision[], log: readonly Decision[]): readonly Decision[] {
  if (base.some(({ id }, i) => log[i]?.id !== id)) {
    throw badArgument('a log to merge', 'one that begins with the common one', `${log.length} decisions`);
  }
  return log.slice(base.length);
}

const byTime = (a: Decision, b: Decision): number => a.at.localeCompare(b.at) || a.id.localeCompare(b.id);

/** Everything that goes with a decision in conflict: it, later ones on objects it made, and their undoing. */
function withFollowers(decisions: readonly Decision[], left: ReadonlySet<string>): Set<string> {
  const out = new Set(left);
  const gone = new Set<string>();
  for (const decision of decisions) {
    const follows = isDirect(decision)
      ? objectsOf(decision).some((object) => gone.has(`${decision.photo} ${object}`))
      : out.has(decision.decision);
    if (!follows && !out.has(decision.id)) continue;
    out.add(decision.id);
    if (isDirect(decision)) for (const { id } of drawnBy(decision)) gone.add(`${decision.photo} ${id}`);
  }
  return out;
}

/**
 * Merges what two reviewers decided apart after a common beginning. The same decision made by both is kept once; what can
 * not both stand is left out of the log and returned as conflicts. Swapping the two gives the same log.
 *
 * @param photos what the decisions are about; the merged log is tried on them
 * @throws VeligridError `bad-argument` when a log does not begin with the common one
 */
export function mergeDecisions(
  photos: readonly PhotoCount[],
  base: readonly Decision[],
  { mine, theirs }: { readonly mine: readonly Decision[]; readonly theirs: readonly Decision[] },
): Merged {
  const [own, other] = [branch(base, mine), branch(base, theirs)];
  const before = new Set(base.map(({ id }) => id));
  const fresh = (log: readonly Decision[]): DirectDecision[] => standing(log).filter(({ id }) => !before.has(id));
  const [ownStanding, otherStanding] = [fresh(mine), fresh(theirs)];
  const conflicts = ownStanding.flatMap((one) =>
    otherStanding.flatMap((two): Conflict[] => {
      const reason = clash(one, two);
      return reason === null ? [] : [{ mine: one, theirs: two, reason }];
    }),
  );
  const twins = otherStanding.filter((two) =>
    ownStanding.some((one) => content(one) === content(two) && one.kind !== 'note'),
  );
  const left = new Set(conflicts.flatMap(({ mine: one, theirs: two }) => [one.id, two.id]));
  // Of two alike the one with the earlier time stays, so that both sides come to the same log.
  for (const two of twins) {
    const one = ownStanding.find((decision) => content(decision) === content(two));
    if (one !== undefined) left.add(byTime(one, two) <= 0 ? two.id : one.id);
  }
  const all = [...new Map([...own, ...other].map((decision) => [decision.id, decision])).values()].sort(byTime);
  const out = withFollowers(all, left);
  const log = [...base, ...all.filter(({ id }) => !out.has(id))];
  checkLog(log);
  viewOf(photos, log);
  return { log, conflicts };
}
