import { setTimeout } from 'node:timers/promises';
import { holds, StationsAtWork, type Ledger } from './at-work.js';
import { TroubledOutfit, type Trouble } from './troubles.js';

/** What goes wrong at once, and for how long. */
export interface Round {
  readonly troubles: readonly Trouble[];
  /** At least. */
  readonly ms: number;
  /** Goes on until a station was told this. */
  readonly until?: RegExp;
}

export interface TroublePlan {
  readonly rounds: readonly Round[];
  readonly stations: number;
  readonly random: () => number;
  /** After what time the database drops who stands still while it writes, ms. */
  readonly standStillMs?: number;
  /** Told after each round. */
  readonly onRound?: (told: string) => void;
}

/** What came of it. */
export interface TroubleFigures extends Ledger {
  /** What stations were told meanwhile when something could not be done, and how often. */
  readonly refusals: Readonly<Record<string, number>>;
  /** The longest time until an answer, ms. */
  readonly longestMs: number;
  /** The longest time from the end of a trouble to the next decision that was acknowledged, ms. */
  readonly longestBackMs: number;
}

/** A trouble in words. */
function named(trouble: Trouble): string {
  switch (trouble.kind) {
    case 'full':
    case 'slow disk':
      return `${trouble.kind}: ${trouble.disk}`;
    case 'clock':
      return `clock ${trouble.hours < 0 ? '' : '+'}${String(trouble.hours)} h: ${trouble.of}`;
    case 'stalled':
    case 'lost':
    case 'cut':
    case 'slow':
      return `${trouble.kind}: ${trouble.of}`;
  }
}

/** Answers that say nothing of what to do, or come too late. */
function unclear(refusals: ReadonlyMap<string, number>, longestMs: number): string[] {
  const wrong = [...refusals.keys()].filter(
    (told) => !/try again|make room|start it/.test(told) || /fault of Veligrid/.test(told),
  );
  return [
    ...wrong.map((told) => `a refusal that is not clear: ${told}`),
    ...(longestMs > MOST_MS ? [`an answer took ${String(Math.round(longestMs / 1000))} s`] : []),
  ];
}

/** An answer comes within this time, whatever is wrong, ms: 10 s for a connection, 10 s for the lock, 10 s of silence. */
const MOST_MS = 45_000;

/** Spoils networks, disks and clocks while stations work, then compares their ledgers with what is kept. */
export async function runTroubles(plan: TroublePlan): Promise<TroubleFigures> {
  const troubled = await TroubledOutfit.start(plan.random, plan.standStillMs);
  const { outfit } = troubled;
  const atWork = new StationsAtWork(plan.stations, outfit.url);
  try {
    await atWork.begin();
    const errors: string[] = [];
    let longestBackMs = 0;
    for (const { troubles, ms, until } of plan.rounds) {
      const what = troubles.map(named).join(', ');
      const ends: (() => Promise<void> | void)[] = [];
      for (const trouble of troubles) ends.push(await troubled.begin(trouble));
      await setTimeout(ms);
      if (until !== undefined && !(await holds(MOST_MS / 1000, async () => atWork.wereTold(until))))
        errors.push(`${what}: nobody was told ${String(until)}, but ${[...atWork.refusals.keys()].join('; ')}`);
      for (const end of ends) await end();
      const backMs = await atWork.goOn(what);
      longestBackMs = Math.max(longestBackMs, backMs);
      plan.onRound?.(`${what}: at work again after ${String(Math.round(backMs))} ms`);
    }
    const ledger = await atWork.end(outfit.placeFile());
    const { refusals, longestMs } = atWork;
    errors.push(...ledger.errors, ...unclear(refusals, longestMs));
    if (!outfit.serverAlive) errors.push(`the server ended: ${outfit.said}`);
    return { ...ledger, errors, refusals: Object.fromEntries(refusals), longestMs, longestBackMs };
  } finally {
    await troubled.end();
  }
}
