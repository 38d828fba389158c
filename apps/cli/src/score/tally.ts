import type { Judged } from '@veligrid/imaging';
import type { Match, Pair } from './match.js';
import { overlap } from './polygon.js';
import type { Prediction } from './read-prediction.js';
import type { Truth } from './read-truth.js';
import {
  calibrationError,
  EGGS,
  FERTILISED,
  READY,
  shareError,
  SHELLED,
  stagedPairs,
  type StagedPair,
} from './stage-agreement.js';

/** Agreement of a group of photos; null where there is nothing to tell. Errors in per cent of the truth. */
export interface Agreement {
  readonly photos: number;
  /** Photos without a count file. */
  readonly missing: number;
  /** Objects that are there, without the ignored ones. */
  readonly truth: number;
  readonly found: number;
  readonly falseFinds: number;
  readonly precision: number | null;
  readonly recall: number | null;
  readonly f1: number | null;
  /** Mean over photos of (counted - there) over there, signed and without sign. */
  readonly countErrorPct: number | null;
  readonly absCountErrorPct: number | null;
  /** Mean over objects found of the length error over the true length, signed and without sign. */
  readonly lengthBiasPct: number | null;
  readonly lengthMaePct: number | null;
  readonly meanOverlap: number | null;
  /** Mean size of the scale error, over photos with ruled lines. */
  readonly scaleErrorPct: number | null;
  readonly falseFindsPerPhoto: number | null;
  /** Stages of the objects found, in the order of development; empty when neither side names stages. */
  readonly judged: readonly Judged[];
  /** Mean size of the error of the share fertilised (per cent points), over photos with ten eggs or more on both sides. */
  readonly fertilisedErrorPoints: number | null;
  /** The same of the share eyed (or pediveliger) among shelled larvae. */
  readonly readyErrorPoints: number | null;
  /** Calibration of the confidence, by ten bands: mean size of confidence less share right, 0..1. */
  readonly calibrationError: number | null;
}

const mean = (values: readonly number[]): number | null =>
  values.length === 0 ? null : values.reduce((sum, value) => sum + value, 0) / values.length;
const meanSize = (values: readonly number[]): number | null => mean(values.map(Math.abs));
const ratio = (part: number, whole: number): number | null => (whole === 0 ? null : part / whole);

/** Adds up the agreement of photos. */
export class Tally {
  #photos = 0;
  #missing = 0;
  #found = 0;
  #missed = 0;
  #falseFinds = 0;
  readonly #countErrors: number[] = [];
  readonly #lengthErrors: number[] = [];
  readonly #overlaps: number[] = [];
  readonly #scaleErrors: number[] = [];
  readonly #judged: Judged[] = [];
  readonly #confidences: { confidence: number; right: boolean }[] = [];
  readonly #fertilisedErrors: number[] = [];
  readonly #readyErrors: number[] = [];

  /**
   * Adds one photo.
   *
   * @param truth what is there
   * @param prediction what was found, or null when there is no count file
   * @param match of the two
   */
  add(truth: Truth, prediction: Prediction | null, match: Match): void {
    const { pairs, missed, falseFinds } = match;
    const there = pairs.length + missed.length;
    this.#photos++;
    if (prediction === null) this.#missing++;
    this.#found += pairs.length;
    this.#missed += missed.length;
    this.#falseFinds += falseFinds.length;
    if (there > 0) this.#countErrors.push((100 * (pairs.length + falseFinds.length - there)) / there);
    for (const pair of pairs) this.#addPair(pair);
    this.#addStages(stagedPairs(pairs));
    const scale = prediction?.umPerPx ?? null;
    if (truth.ruled && scale !== null && truth.umPerPx !== null) {
      this.#scaleErrors.push(100 * (scale / truth.umPerPx - 1));
    }
  }

  #addStages(staged: readonly StagedPair[]): void {
    for (const { truth, said, confidence } of staged) {
      this.#judged.push({ truth, said });
      if (confidence !== null) this.#confidences.push({ confidence, right: truth === said });
    }
    const fertilised = shareError(staged, FERTILISED, EGGS);
    const ready = shareError(staged, READY, SHELLED);
    if (fertilised !== null) this.#fertilisedErrors.push(fertilised);
    if (ready !== null) this.#readyErrors.push(ready);
  }

  #addPair({ truth, found }: Pair): void {
    if (found.lengthUm !== null && truth.lengthUm !== null) {
      this.#lengthErrors.push((100 * (found.lengthUm - truth.lengthUm)) / truth.lengthUm);
    }
    if (found.polygon !== null && truth.polygon !== null) this.#overlaps.push(overlap(found.polygon, truth.polygon));
  }

  /** The agreement so far. */
  result(): Agreement {
    const [found, missed, falseFinds] = [this.#found, this.#missed, this.#falseFinds];
    return {
      photos: this.#photos,
      missing: this.#missing,
      truth: found + missed,
      found,
      falseFinds,
      precision: ratio(found, found + falseFinds),
      recall: ratio(found, found + missed),
      f1: ratio(2 * found, 2 * found + falseFinds + missed),
      countErrorPct: mean(this.#countErrors),
      absCountErrorPct: meanSize(this.#countErrors),
      lengthBiasPct: mean(this.#lengthErrors),
      lengthMaePct: meanSize(this.#lengthErrors),
      meanOverlap: mean(this.#overlaps),
      scaleErrorPct: meanSize(this.#scaleErrors),
      falseFindsPerPhoto: ratio(falseFinds, this.#photos),
      judged: this.#judged,
      fertilisedErrorPoints: meanSize(this.#fertilisedErrors),
      readyErrorPoints: meanSize(this.#readyErrors),
      calibrationError: calibrationError(this.#confidences),
    };
  }
}
