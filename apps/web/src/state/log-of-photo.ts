import type { Decision } from '@veligrid/review';

/** The entries of a log that are about one photo, with their undoing and redoing. */
export function logOfPhoto(log: readonly Decision[], photo: string): Decision[] {
  const own = new Set<string>();
  return log.filter((decision) => {
    const belongs =
      decision.kind === 'undo' || decision.kind === 'redo' ? own.has(decision.decision) : decision.photo === photo;
    if (belongs) own.add(decision.id);
    return belongs;
  });
}

/** The photo that an entry is about, also of an undo. */
export function photoOf(log: readonly Decision[], decision: Decision): string | null {
  if (decision.kind !== 'undo' && decision.kind !== 'redo') return decision.photo;
  const target = log.find(({ id }) => id === decision.decision);
  return target === undefined ? null : photoOf(log, target);
}
