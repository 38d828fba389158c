import type { Limits } from '@veligrid/estimation';
import { INS, type Move, type Recorded, type Stay } from '@veligrid/hatchery';
import type { PlanQuestion } from '../plan/questions.js';
import type { Asked } from './asked.js';
import { daysBetween, isEmbryo, isLarva, mainStage, slideOf } from './counted-sample.js';

/** What a count is held against: the count before, or what came into the tank. */
export interface Before {
  readonly what: 'count' | 'came-in';
  readonly sample: { readonly id: string; readonly name: string } | null;
  readonly at: string;
  readonly alive: Limits;
  readonly meanLengthUm: Limits | null;
}

const isIn = (line: string): boolean => (INS as readonly string[]).includes(line);

const limitsOf = ({ number, low, high }: Move): Limits => ({
  estimate: number,
  low: low ?? number,
  high: high ?? number,
});

/** The first number that came into a stay. */
function cameIn(stay: Stay, { moves }: Recorded): Before | null {
  const first = stay.entries.find(({ line }) => isIn(line));
  const move = moves.find(({ id }) => id === first?.moveId);
  if (move === undefined) return null;
  return { what: 'came-in', sample: null, at: move.happenedAt, alive: limitsOf(move), meanLengthUm: null };
}

/** What the count of a stay is held against; null when nothing came before it. */
export function beforeOf({ counted, stay, counts, recorded }: Asked): Before | null {
  if (stay === null) return null;
  const { takenAt } = counted.overview.sample;
  const inStay = stay.counts.map(({ count }) => count.id);
  const last = counts.findLast(
    ({ overview }) => overview.sample.takenAt < takenAt && inStay.includes(overview.sample.id),
  );
  if (last === undefined) return cameIn(stay, recorded);
  const { id, name, takenAt: at } = last.overview.sample;
  return { what: 'count', sample: { id, name }, at, alive: last.alive, meanLengthUm: last.meanLengthUm };
}

/** Moves in the tank of a stay after one time and up to another. */
export function movesBetween({ stay, recorded }: Asked, after: string, until: string | null): Move[] {
  const ids = (stay?.entries ?? []).filter(({ at }) => at > after && (until === null || at <= until));
  return recorded.moves.filter((move) => ids.some(({ moveId }) => moveId === move.id));
}

function moved(asked: Asked, before: Before): { readonly takenOut: number; readonly putIn: number } {
  const { takenAt } = asked.counted.overview.sample;
  const entries = (asked.stay?.entries ?? []).filter(({ at }) => at > before.at && at <= takenAt);
  const sum = (wanted: boolean): number =>
    entries
      .filter(({ line }) => isIn(line) === wanted)
      .flatMap(({ terms }) => terms)
      .reduce((all, { sign, number }) => all + sign * number.estimate, 0);
  return { takenOut: Math.max(0, sum(false)), putIn: Math.max(0, sum(true)) };
}

/** Survival since what came before; null when there is nothing to hold the count against. */
export function survivalQuestion(asked: Asked, before: Before | null): PlanQuestion | null {
  const { counted, species, spawnedAt } = asked;
  const { takenAt } = counted.overview.sample;
  if (before === null || before.alive.estimate === 0 || !(before.at < takenAt)) return null;
  const since = spawnedAt !== null && spawnedAt <= before.at ? spawnedAt : before.at;
  const [day, today] = [daysBetween(since, before.at), daysBetween(since, takenAt)];
  if (!(today > day)) return null;
  const counts = [
    { day, alive: before.alive },
    { day: today, alive: counted.alive, ...moved(asked, before) },
  ];
  return { kind: 'survival', species, counts };
}

/** Growth along the tanks the animals were in; null without age or lengths. */
export function growthQuestion({ counts, counted, species, spawnedAt, temperatureC }: Asked): PlanQuestion | null {
  if (spawnedAt === null || counted.meanLengthUm === null) return null;
  if (isEmbryo(mainStage(counted.result))) return null;
  const measurements = counts.flatMap(({ overview, meanLengthUm, result }) => {
    const day = daysBetween(spawnedAt, overview.sample.takenAt);
    // the diameter of an egg says nothing of how shells grow
    return meanLengthUm === null || !(day > 0) || isEmbryo(mainStage(result)) ? [] : [{ day, meanLengthUm }];
  });
  const rising = measurements.filter(({ day }, i) => i === 0 || day > (measurements[i - 1]?.day ?? 0));
  if (rising.length === 0) return null;
  return { kind: 'growth', species, measurements: rising, ...(temperatureC === null ? {} : { temperatureC }) };
}

const D_LARVA = 'd-larva';

/** Eggs that the animals of a count came from, where all of them stayed together; null when that is not known. */
function eggsBehind({ path, recorded }: Asked): Limits | null {
  const oldest = path.at(-1)?.stay;
  const whole = path.slice(1).every(({ stay }) => stay.endedAt !== null);
  const stocked = (oldest?.entries ?? []).filter(({ line }) => line === 'stocked');
  const [only] = stocked;
  if (!whole || stocked.length !== 1 || only === undefined) return null;
  const move = recorded.moves.find(({ id }) => id === only.moveId);
  return move === undefined ? null : limitsOf(move);
}

/** D-yield of the first count that is mostly D-larvae; null for later ones, or when the eggs are not known. */
export function yieldQuestion(asked: Asked): PlanQuestion | null {
  const { counted, counts, species } = asked;
  const now = slideOf(counted.result, [D_LARVA]);
  const earlier = counts.filter(({ overview }) => overview.sample.takenAt < counted.overview.sample.takenAt);
  const had = earlier.some(({ result }) => isLarva(mainStage(result)));
  const eggs = eggsBehind(asked);
  if (mainStage(counted.result) !== D_LARVA || had || eggs === null || !(eggs.estimate > 0)) return null;
  const { estimate, low, high } = counted.alive;
  const part = now.positive / now.of;
  const dLarvae = { estimate: estimate * part, low: low * part, high: high * part };
  return { kind: 'survival', species, yield: { dLarvae, of: eggs, denominator: 'eggs' } };
}
