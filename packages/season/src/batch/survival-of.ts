import { sumLimits, type Limits } from '@veligrid/estimation';
import {
  cameThrough,
  figure,
  INS,
  numberOf,
  survival,
  verdictOf,
  type Figure,
  type FigureBook,
  type LedgerLine,
  type Stay,
  type Verdict,
} from '@veligrid/hatchery';
import type { Season } from '../history/read-season.js';
import type { Named } from '../history/house-names.js';
import { ageAt, daysBetween, namedBy } from './counted-samples.js';

/** What came through in one tank from one count to the next, or from stocking to the first. */
export interface SurvivalInterval {
  readonly tank: Named;
  readonly fromAt: string;
  readonly fromDay: number | null;
  /** Count it begins with; null when it begins with what came into the tank. */
  readonly fromSample: Named | null;
  readonly toAt: string;
  readonly toDay: number | null;
  readonly toSample: Named;
  /** Animals at its beginning, and those that came in. */
  readonly start: Limits;
  /** What left the tank before the count, line by line, with the moves that say so. */
  readonly out: readonly { readonly line: LedgerLine; readonly animals: number; readonly moves: readonly string[] }[];
  /** Animals that ought to be there if none had died. */
  readonly expected: Limits;
  readonly alive: Limits;
  readonly unexplained: Limits;
  readonly verdict: Verdict;
  /** (alive + left)/start; null within less than a day's hundredth, or when nothing was there. */
  readonly survival: Limits | null;
  readonly survivalPerDay: Limits | null;
}

/** Part of those stocked that was alive at a count. */
export interface SurvivalPoint {
  readonly sample: Named;
  readonly tank: Named;
  readonly at: string;
  readonly day: number | null;
  readonly ofStocked: Limits;
}

/** Survival of a batch by the ledger. */
export interface SurvivalCourse {
  readonly intervals: readonly SurvivalInterval[];
  readonly points: readonly SurvivalPoint[];
  /** Part of those stocked that came through to the last count of each tank; null before any count. */
  readonly overall: Limits | null;
  /** The same from the first count of larvae, a day or more after fertilisation; null before the second one. */
  readonly sinceLarvae: Limits | null;
  /** Usual survival from D-larva to metamorphosis. */
  readonly usual: { readonly low: number; readonly high: number };
  readonly figures: readonly Figure[];
}

/** Shorter times say nothing of a rate. */
const LEAST_DAYS = 0.01;
/** Day from which animals are larvae. */
const FIRST_LARVAE_DAYS = 1;
const DAY_MS = 86_400_000;

const isIn = (line: LedgerLine): boolean => (INS as readonly string[]).includes(line);

/** What left a tank between two counts. Poured back counts against what was taken. */
function leftIn(entries: Stay['entries']): SurvivalInterval['out'] {
  const lines = new Map<LedgerLine, { animals: number; moves: string[] }>();
  for (const { line, terms, moveId } of entries.filter((one) => !isIn(one.line))) {
    const now = lines.get(line) ?? { animals: 0, moves: [] };
    now.animals += terms.reduce((sum, { sign, number }) => sum + sign * number.estimate, 0);
    now.moves.push(moveId);
    lines.set(line, now);
  }
  return [...lines].map(([line, one]) => ({ line, ...one }));
}

function rate(
  start: Limits,
  { alive, left, days }: { readonly alive: Limits; readonly left: number; readonly days: number },
  book: FigureBook,
): readonly Limits[] {
  if (days < LEAST_DAYS || start.estimate <= 0) return [];
  const { intervals } = survival(
    {
      counts: [
        { day: 0, alive: start },
        { day: days, alive, takenOut: left },
      ],
    },
    book,
  );
  const [only] = intervals;
  return only === undefined ? [] : [only.survival, only.survivalPerDay];
}

/** What came through in one tank, count by count. */
export function intervalsOf(
  season: Pick<Season, 'names'>,
  stay: Stay,
  spawnedAt: string | null,
  book: FigureBook,
): SurvivalInterval[] {
  const tank = namedBy(season, stay.tankId);
  return stay.counts.map((day, i): SurvivalInterval => {
    const before = stay.counts[i - 1];
    const entries = stay.entries.slice(before?.entriesBefore ?? 0, day.entriesBefore);
    const ins = entries.filter(({ line }) => isIn(line)).flatMap(({ terms }) => terms.map(({ number }) => number));
    const start = sumLimits([...(before === undefined ? [] : [before.count.alive]), ...ins]);
    const out = leftIn(entries);
    const left = out.reduce((sum, { animals }) => sum + animals, 0);
    const [fromAt, toAt] = [before?.count.happenedAt ?? stay.beganAt, day.count.happenedAt];
    const after = { alive: day.count.alive, left: Math.max(0, left), days: daysBetween(fromAt, toAt) };
    const [whole = null, perDay = null] = rate(start, after, book);
    return {
      tank,
      fromAt,
      fromDay: ageAt(spawnedAt, fromAt),
      fromSample: before === undefined ? null : namedBy(season, before.count.id),
      toAt,
      toDay: ageAt(spawnedAt, toAt),
      toSample: namedBy(season, day.count.id),
      start,
      out,
      expected: day.expected,
      alive: day.count.alive,
      unexplained: day.unexplained,
      verdict: verdictOf(day.unexplained, start.estimate),
      survival: whole,
      survivalPerDay: perDay,
    };
  });
}

/** From the first count of larvae on; null when there is none, or it is the last. */
function sinceLarvaeOf(season: Season, batchId: string, spawnedAt: string | null): Limits | null {
  if (spawnedAt === null) return null;
  const from = new Date(Date.parse(spawnedAt) + FIRST_LARVAE_DAYS * DAY_MS).toISOString();
  const { steps, overall } = cameThrough(season.ledger.stays, batchId, { from });
  return steps.length < 2 ? null : overall;
}

/**
 * Survival of a batch, tank by tank from count to count, and from its start to each count. What was moved, culled, sampled,
 * shipped or set is no loss; what nobody can explain is.
 *
 * @param book for `survival.d-to-set.low` and `.high`, and what `survival` asks of it
 */
export function survivalOf(
  season: Season,
  { id, spawnedAt }: { readonly id: string; readonly spawnedAt: string | null },
  book: FigureBook,
): SurvivalCourse {
  const { stays } = season.ledger;
  const own = stays.filter(({ batchId }) => batchId === id);
  const { steps, overall } = cameThrough(stays, id);
  const [low, high] = [figure(book, 'survival.d-to-set.low'), figure(book, 'survival.d-to-set.high')];
  return {
    intervals: own
      .flatMap((stay) => intervalsOf(season, stay, spawnedAt, book))
      .toSorted((a, b) => (a.toAt < b.toAt ? -1 : a.toAt > b.toAt ? 1 : 0)),
    points: steps.map(({ sampleId, tankId, at, survival: ofStocked }) => ({
      sample: namedBy(season, sampleId),
      tank: namedBy(season, tankId),
      at,
      day: ageAt(spawnedAt, at),
      ofStocked,
    })),
    overall,
    sinceLarvae: sinceLarvaeOf(season, id, spawnedAt),
    usual: { low: numberOf(low), high: numberOf(high) },
    figures: [low, high],
  };
}
