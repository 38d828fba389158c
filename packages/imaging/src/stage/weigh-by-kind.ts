import type { Kind, Stage } from '@veligrid/model';
import type { StageProbabilities } from './rules/judge.js';

const SHELLED: ReadonlySet<Stage> = new Set(['d-larva', 'umbo', 'eyed', 'pediveliger']);
const EMPTY_OR_DEAD: ReadonlySet<Stage> = new Set(['empty-shell', 'dead']);
/** The finder rules nothing out. */
const LEAST = 0.01;

function kindOf(stage: Stage): Kind {
  if (SHELLED.has(stage)) return 'shelled-larva';
  return EMPTY_OR_DEAD.has(stage) ? 'empty-or-dead' : 'egg-or-embryo';
}

/** Probabilities of stages weighed by those of the finder's kinds, with their sum kept. */
export function weighByKind(stages: StageProbabilities, kinds: Readonly<Record<Kind, number>>): StageProbabilities {
  const known = Object.entries(stages) as [Stage, number][];
  const weighed = known.map(([stage, p]) => [stage, p * Math.max(LEAST, kinds[kindOf(stage)])] as const);
  const sumOf = (of: readonly (readonly [Stage, number])[]): number => of.reduce((sum, [, p]) => sum + p, 0);
  const scale = weighed.length === 0 ? 1 : sumOf(known) / sumOf(weighed);
  return Object.fromEntries(weighed.map(([stage, p]) => [stage, p * scale]));
}
