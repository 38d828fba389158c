import { badArgument } from '@veligrid/model';
import { isDirect, type Decision, type DirectDecision, type Made } from './decision.js';

/** Decisions that stand after all undoing and redoing, in the order they were made. */
export function standing(log: readonly Decision[]): DirectDecision[] {
  const undone = new Set<string>();
  for (const decision of log) {
    if (decision.kind === 'undo') undone.add(decision.decision);
    if (decision.kind === 'redo') undone.delete(decision.decision);
  }
  return log.filter(isDirect).filter(({ id }) => !undone.has(id));
}

/** The person's last decision that stands, or null. */
function lastStanding(log: readonly Decision[], by: string): DirectDecision | null {
  return standing(log).findLast((decision) => decision.by === by) ?? null;
}

/** What was undone and may be redone: undone after the person's last direct decision, latest first. */
function lastUndone(log: readonly Decision[], by: string): string | null {
  const stack: string[] = [];
  for (const decision of log.filter((one) => one.by === by)) {
    if (decision.kind === 'undo') stack.push(decision.decision);
    else if (decision.kind === 'redo') stack.pop();
    else stack.length = 0;
  }
  return stack.at(-1) ?? null;
}

/**
 * The entry that undoes the person's own last decision; others' decisions are left alone.
 *
 * @returns null when nothing of theirs stands
 */
export function undoLast(log: readonly Decision[], made: Made): Decision | null {
  const last = lastStanding(log, made.by);
  return last === null ? null : { ...made, kind: 'undo', decision: last.id };
}

/** The entry that redoes what the person undid last, as long as they decided nothing since; null otherwise. */
export function redoLast(log: readonly Decision[], made: Made): Decision | null {
  const last = lastUndone(log, made.by);
  return last === null ? null : { ...made, kind: 'redo', decision: last };
}

/** @throws VeligridError `bad-argument` when two entries have one id, or an undo or redo names none before it */
export function checkLog(log: readonly Decision[]): void {
  const seen = new Set<string>();
  for (const decision of log) {
    if (seen.has(decision.id)) throw badArgument('the id of a decision', 'one that no other has', decision.id);
    if (!isDirect(decision) && !seen.has(decision.decision)) {
      throw badArgument(`the decision to ${decision.kind}`, 'one made before', decision.decision);
    }
    seen.add(decision.id);
  }
}
