import { STAGES, type Stage } from '@veligrid/model';
import type { Pair } from './match.js';

/** An object found whose stage is known and was said. */
export interface StagedPair {
  readonly truth: Stage;
  readonly said: Stage;
  /** Probability that the stage is right, 0..1, or null. */
  readonly confidence: number | null;
}

/** Classes of drawn slides that are stages under another name. */
const CLASSES: Readonly<Record<string, Stage>> = {
  'egg-unfertilised': 'egg',
  'egg-fertilised': 'fertilised-egg',
  'd-hinge': 'd-larva',
  'early-umbo': 'umbo',
};

/** Stage of a name in a truth or count file, or null when it names none. */
export function stageNamed(name: string): Stage | null {
  const plain = name.replaceAll('_', '-');
  return CLASSES[plain] ?? STAGES.find((stage) => stage === plain) ?? null;
}

/** Pairs of which both sides name a stage. */
export function stagedPairs(pairs: readonly Pair[]): StagedPair[] {
  return pairs.flatMap(({ truth, found }): StagedPair[] => {
    const [is, said] = [stageNamed(truth.stage), stageNamed(found.stage)];
    return is === null || is === 'unsure' || said === null ? [] : [{ truth: is, said, confidence: found.confidence }];
  });
}

export const EGGS: readonly Stage[] = ['egg', 'fertilised-egg', 'two-cell', 'four-cell', 'morula'];
export const FERTILISED: readonly Stage[] = EGGS.slice(1);
export const SHELLED: readonly Stage[] = ['d-larva', 'umbo', 'eyed', 'pediveliger'];
export const READY: readonly Stage[] = ['eyed', 'pediveliger'];

/** Objects on each side that a share needs. */
const FEWEST = 10;

/**
 * Error of a share in per cent points, said less true; null with fewer than ten objects of the whole on either side.
 *
 * @param part stages that count
 * @param whole stages that they are counted among
 */
export function shareError(
  pairs: readonly StagedPair[],
  part: readonly Stage[],
  whole: readonly Stage[],
): number | null {
  const share = (stages: readonly Stage[]): number | null => {
    const among = stages.filter((stage) => whole.includes(stage));
    return among.length < FEWEST ? null : among.filter((stage) => part.includes(stage)).length / among.length;
  };
  const [is, said] = [share(pairs.map(({ truth }) => truth)), share(pairs.map((one) => one.said))];
  return is === null || said === null ? null : 100 * (said - is);
}

const BANDS = 10;

/**
 * Expected calibration error: over ten equal bands of confidence, the size of mean confidence less share right, weighted by how
 * many fall in (Naeini, Cooper and Hauskrecht 2015; from memory). Null without objects.
 */
export function calibrationError(
  said: readonly { readonly confidence: number; readonly right: boolean }[],
): number | null {
  if (said.length === 0) return null;
  let error = 0;
  for (let band = 0; band < BANDS; band++) {
    const own = said.filter(({ confidence }) => Math.min(BANDS - 1, Math.floor(confidence * BANDS)) === band);
    const confidence = own.reduce((sum, one) => sum + one.confidence, 0);
    const right = own.filter((one) => one.right).length;
    error += Math.abs(confidence - right) / said.length;
  }
  return error;
}
