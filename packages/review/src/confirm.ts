import {
  badArgument,
  VeligridError,
  type ConfirmedCount,
  type ConfirmedPhoto,
  type ConfirmedRule,
  type PhotoCount,
} from '@veligrid/model';
import type { Decision } from './decision.js';
import type { Conflict } from './merge.js';
import type { ReviewedPhoto } from './reviewed.js';
import { viewOf } from './view.js';

/** What a person signs. */
export interface SignOff {
  /** Who signs. */
  readonly by: string;
  /** When, ISO 8601 with zone. */
  readonly at: string;
  readonly countingRule: ConfirmedRule;
  /** Conflicts of a merge that are still open; none by default. */
  readonly openConflicts?: readonly Conflict[];
}

/** A date and time with zone, as ISO 8601 and RFC 3339 write it. */
const ISO_TIME = /^\d{4}-\d\d-\d\dT\d\d:\d\d(:\d\d(\.\d+)?)?(Z|[+-]\d\d:\d\d)$/;

const refused = (message: string): VeligridError => new VeligridError('refused', message);

function confirmedPhoto({ count, objects, squares }: ReviewedPhoto): ConfirmedPhoto {
  const inside = objects.filter(
    ({ counted, square }) => counted && (squares === null || (square !== null && squares.includes(square))),
  );
  return {
    photo: count.photo,
    method: count.method,
    squares,
    objects: inside.map(({ id, stage, form, square, lengthUm, heightUm, measurable }) => ({
      id,
      stage,
      form,
      square,
      lengthUm,
      heightUm,
      measurable,
    })),
  };
}

function check({ by, at, openConflicts = [] }: SignOff, used: readonly ReviewedPhoto[]): void {
  if (by.trim() === '') throw badArgument('by', 'the name of who signs', by);
  if (!ISO_TIME.test(at)) throw badArgument('at', 'a time with zone such as 2026-06-01T09:30:00Z', at);
  if (openConflicts.length > 0) {
    throw refused(`${openConflicts.length} conflicts between reviewers are open. Settle them before signing off.`);
  }
  if (used.length === 0) throw refused('No photo is left to sign off. Take back a rejection or add photos.');
  const versions = new Set(used.map(({ count }) => `${count.method.version} ${count.method.rulesVersion}`));
  if (versions.size > 1) {
    throw refused(
      'The photos were counted by different versions of method or rules. Count them anew with one version.',
    );
  }
}

/**
 * Signs a count off: the only way to a `ConfirmedCount`, and so to any total. Rejected photos are left out; with chosen
 * squares only what lies in them counts.
 *
 * @throws VeligridError `refused` with open conflicts, without photos or with different rules; `bad-argument` without
 *   name or time
 */
export function confirm(photos: readonly PhotoCount[], log: readonly Decision[], signOff: SignOff): ConfirmedCount {
  const used = viewOf(photos, log).filter(({ rejected }) => rejected === null);
  check(signOff, used);
  const { by, at, countingRule } = signOff;
  const plain: Omit<ConfirmedCount, keyof ConfirmedCount & symbol> = {
    by,
    at,
    countingRule,
    rulesVersion: used[0]?.count.method.rulesVersion ?? '',
    decisions: log.length,
    photos: used.map(confirmedPhoto),
  };
  return plain as ConfirmedCount;
}
