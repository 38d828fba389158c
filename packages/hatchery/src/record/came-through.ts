import { exactly, ratioLimits, sumLimits, times, type Limits } from '@veligrid/estimation';
import { sumOf, type Term } from './number-sum.js';
import { INS, type CountedDay, type LedgerEntry, type Stay } from './stay.js';

/** What a count says of all that was stocked. */
export interface CourseStep {
  readonly tankId: string;
  readonly batchId: string;
  /** Sample of the count. */
  readonly sampleId: string;
  readonly at: string;
  /** Part of what was stocked that came through, removals allowed for; above 1 is shown as it is. */
  readonly survival: Limits;
}

/** Survival of a batch from its start to each count. */
export interface Course {
  /** By time. */
  readonly steps: readonly CourseStep[];
  /** At the last count of each tank, tanks weighed by what they stand for; null before any count. */
  readonly overall: Limits | null;
}

/** Options of a course. */
export interface CourseOptions {
  /** Counts before this time are left out, and the first one from then on stands for all: such as the first of larvae. */
  readonly from?: string;
}

/** What stands behind the animals of a stay. */
interface Standing {
  /** Animals that were stocked, as many as those in the tank stand for. */
  readonly base: Limits;
  /** Part of them that is alive: what one animal stands for is one over it. */
  readonly survival: number;
  /** Whether it began at the time that is asked for. */
  readonly begun: boolean;
}

type Step = { readonly entry: LedgerEntry } | { readonly day: CountedDay };

const isIn = ({ line }: LedgerEntry): boolean => (INS as readonly string[]).includes(line);

/** Entries and counts of a stay in the order they were made. */
function stepsOf({ entries, counts }: Stay): Step[] {
  const steps: Step[] = [];
  let next = 0;
  for (const day of counts) {
    steps.push(...entries.slice(next, day.entriesBefore).map((entry) => ({ entry })), { day });
    next = day.entriesBefore;
  }
  return [...steps, ...entries.slice(next).map((entry) => ({ entry }))];
}

const scaled = (base: Limits, to: number): Limits =>
  base.estimate > 0 && to > 0 ? times(base, to / base.estimate) : exactly(0);

/** Works through stays that took animals from one another. */
class Courses {
  readonly #from: string;
  readonly #steps: ReadonlyMap<Stay, readonly Step[]>;
  readonly #known = new Map<Stay, Standing[]>();
  /** Where the terms of an entry that moved animals on were taken from. */
  readonly #sources = new Map<readonly Term[], { readonly stay: Stay; readonly step: number }>();

  constructor(stays: readonly Stay[], from: string) {
    this.#from = from;
    this.#steps = new Map(stays.map((stay) => [stay, stepsOf(stay)]));
    for (const [stay, steps] of this.#steps) {
      for (const [step, one] of steps.entries()) {
        if ('entry' in one && one.entry.line === 'movedOut') this.#sources.set(one.entry.terms, { stay, step });
      }
    }
  }

  steps(stay: Stay): readonly Step[] {
    return this.#steps.get(stay) ?? [];
  }

  /** What stood behind a stay before one of its steps. */
  before(stay: Stay, step: number): Standing {
    const known = this.#known.get(stay) ?? [{ base: exactly(0), survival: 1, begun: false }];
    this.#known.set(stay, known);
    const steps = this.steps(stay);
    for (let i = known.length - 1; i < step; i++) {
      const [last, next] = [known[i], steps[i]];
      if (last === undefined || next === undefined) break;
      known.push('day' in next ? this.#counted(last, next.day) : this.#moved(last, next.entry));
    }
    return known[step] ?? { base: exactly(0), survival: 1, begun: false };
  }

  #counted(last: Standing, { count }: CountedDay): Standing {
    if (count.happenedAt < this.#from) return last;
    if (!last.begun && this.#from !== '') return { base: count.alive, survival: 1, begun: true };
    const { base } = last;
    const alive = count.alive.estimate;
    // none alive leaves nothing to move on: what one animal stood for is kept
    return alive > 0 && base.estimate > 0 ? { ...last, survival: alive / base.estimate } : last;
  }

  #moved(last: Standing, entry: LedgerEntry): Standing {
    const number = sumOf(entry.terms);
    if (!isIn(entry)) return this.#with(last, scaled(last.base, last.base.estimate - number.estimate / last.survival));
    const source = entry.line === 'movedIn' ? this.#sources.get(entry.terms) : undefined;
    if (source === undefined) return this.#with(last, sumLimits([last.base, number]));
    const from = this.before(source.stay, source.step);
    const came = scaled(from.base, number.estimate / from.survival);
    const all = this.#with(last, sumLimits([last.base, came]));
    const alive = last.base.estimate * last.survival + number.estimate;
    const survival = alive > 0 && all.base.estimate > 0 ? alive / all.base.estimate : last.survival;
    return { ...all, survival, begun: last.begun || from.begun };
  }

  #with(last: Standing, base: Limits): Standing {
    return { ...last, base };
  }
}

const COURSES = new WeakMap<readonly Stay[], Map<string, Courses>>();

/** Works a season through once, whichever of its batches is asked for. */
function coursesOf(stays: readonly Stay[], from: string): Courses {
  const known = COURSES.get(stays) ?? new Map<string, Courses>();
  COURSES.set(stays, known);
  const courses = known.get(from) ?? new Courses(stays, from);
  known.set(from, courses);
  return courses;
}

/** The last count of a stay, with the part of its animals that was not moved on to a tank of the same batch later. */
function lastOf(courses: Courses, stay: Stay, own: ReadonlySet<readonly Term[]>): readonly [Limits, Limits] | null {
  const steps = courses.steps(stay);
  const at = steps.findLastIndex((step) => 'day' in step);
  const step = steps[at];
  if (step === undefined || !('day' in step)) return null;
  const { alive } = step.day.count;
  const later = steps.slice(at + 1).flatMap((one) => ('entry' in one && own.has(one.entry.terms) ? [one.entry] : []));
  const on = later.reduce((sum, { terms }) => sum + sumOf(terms).estimate, 0);
  const part = alive.estimate > 0 ? Math.max(0, 1 - on / alive.estimate) : 1;
  return [times(alive, part), times(courses.before(stay, at + 1).base, part)];
}

/**
 * How much of what was stocked came through to each count: animals alive over those that they stand for. Those stocked
 * stand for themselves; what moves on takes along what it stands for, and what is culled, taken or shipped takes its part
 * off. So survival is the product of the intervals between counts, and its limits are those of the count and of what was
 * stocked: the counts between cancel.
 *
 * @param stays all of the season, since animals of other batches may have come in
 * @param batchId the batch that is told of
 */
export function cameThrough(stays: readonly Stay[], batchId: string, { from = '' }: CourseOptions = {}): Course {
  const courses = coursesOf(stays, from);
  const own = stays.filter((stay) => stay.batchId === batchId);
  const steps = own.flatMap((stay) =>
    courses.steps(stay).flatMap((step, i): CourseStep[] => {
      if (!('day' in step) || step.day.count.happenedAt < from) return [];
      const { base } = courses.before(stay, i + 1);
      if (base.estimate <= 0) return [];
      const { id: sampleId, happenedAt: at, alive } = step.day.count;
      const first = base === alive;
      const survival = first ? exactly(1) : ratioLimits(alive, base);
      return [{ tankId: stay.tankId, batchId, sampleId, at, survival }];
    }),
  );
  const cameIn = new Set(own.flatMap(({ entries }) => entries.filter(isIn).map(({ terms }) => terms)));
  const lasts = own.flatMap((stay) => {
    const last = lastOf(courses, stay, cameIn);
    return last === null ? [] : [last];
  });
  const base = sumLimits(lasts.map(([, stands]) => stands));
  return {
    steps: steps.toSorted((a, b) => (a.at < b.at ? -1 : a.at > b.at ? 1 : 0)),
    overall: base.estimate > 0 ? ratioLimits(sumLimits(lasts.map(([alive]) => alive)), base) : null,
  };
}
