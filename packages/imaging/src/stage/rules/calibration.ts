import { inverse, Matrix } from 'ml-matrix';
import { softmax } from './softmax.js';

/** How a calibration is fitted. */
export interface CalibrationOptions {
  /** Weights it starts at and is held to. Default: each score for its own class, all else 0. */
  readonly start?: readonly (readonly number[])[];
  /** How strongly it is held to them, above 0. Default 0.0003. */
  readonly hold?: number;
  /** Steps. Default 600. */
  readonly steps?: number;
}

/** Weights that leave scores as they are: `inputs` inputs and an offset, of which the first `classes` are the scores. */
function scoresAsTheyAre(inputs: number, classes: number): number[][] {
  return Array.from({ length: inputs + 1 }, (_, row) =>
    Array.from({ length: classes }, (__, c) => (row === c ? 1 : 0)),
  );
}

/**
 * Calibration to logits, linear: logits = inputs x weights + offsets (the last row), so that the probabilities of held-out
 * larvae come true. Inputs are the discriminant's scores, one a class, then features: where the discriminant's bell shapes
 * do not hold, the features correct it. Multinomial logistic regression by the steps of Boehning and Lindsay (1988, Annals of
 * the Institute of Statistical Mathematics 40:641-663; from memory): weights grow by
 * inverse(X'X / 2n + hold I) (X'(Y - P) / n - hold (W - W0)), from weights carried on in the direction of the last step
 * (Nesterov 1983, Soviet Mathematics Doklady 27:372-376; from memory): without, thousands of steps would be needed.
 *
 * @param inputs one row a held-out larva
 * @param truths class that each should have had
 * @param classes number of classes
 */
export function fitCalibration(
  inputs: readonly Float64Array[],
  truths: readonly number[],
  classes: number,
  options: CalibrationOptions = {},
): number[][] {
  const width = inputs[0].length;
  const { start = scoresAsTheyAre(width, classes), hold = 3e-4, steps = 600 } = options;
  const rows = inputs.map((row) => Float64Array.from([...row, 1]));
  const from = new Matrix(start.map((row) => [...row]));
  const step = inverse(curvature(rows).add(Matrix.eye(width + 1).mul(hold)));
  let weights = from.clone();
  let ahead = from;
  for (let [round, speed] = [0, 1]; round < steps; round++) {
    const slope = likelihoodSlope(rows, truths, ahead);
    slope.sub(Matrix.sub(ahead, from).mul(hold));
    const next = Matrix.add(ahead, step.mmul(slope));
    const faster = (1 + Math.sqrt(1 + 4 * speed ** 2)) / 2;
    ahead = Matrix.add(next, Matrix.sub(next, weights).mul((speed - 1) / faster));
    [weights, speed] = [next, faster];
  }
  return weights.to2DArray();
}

/** X'X / 2n, which the curvature of the likelihood never exceeds. */
function curvature(rows: readonly Float64Array[]): Matrix {
  const width = rows[0].length;
  const sums = new Float64Array(width * width);
  for (const row of rows) {
    for (let i = 0; i < width; i++) {
      const value = row[i];
      for (let j = 0, at = i * width; j < width; j++, at++) sums[at] += value * row[j];
    }
  }
  return Matrix.from1DArray(width, width, sums).mul(1 / (2 * rows.length));
}

/** X'(Y - P) / n. */
function likelihoodSlope(rows: readonly Float64Array[], truths: readonly number[], weights: Matrix): Matrix {
  const width = rows[0].length;
  const classes = weights.columns;
  const flat = Float64Array.from(weights.to1DArray());
  const sums = new Float64Array(width * classes);
  const logits = new Float64Array(classes);
  rows.forEach((row, index) => {
    logits.fill(0);
    for (let k = 0, at = 0; k < width; k++) {
      const value = row[k];
      for (let c = 0; c < classes; c++, at++) logits[c] += value * flat[at];
    }
    const p = softmax(logits);
    p[truths[index]] -= 1;
    for (let k = 0, at = 0; k < width; k++) {
      const value = row[k];
      for (let c = 0; c < classes; c++, at++) sums[at] -= value * p[c];
    }
  });
  return Matrix.from1DArray(width, classes, sums).mul(1 / rows.length);
}

/**
 * Makes a calibration ready for use.
 *
 * @returns logits of inputs; inputs beyond those that the calibration knows are passed over
 */
export function calibrator(weights: readonly (readonly number[])[]): (inputs: ArrayLike<number>) => Float64Array {
  const inputCount = weights.length - 1;
  const offsets = Float64Array.from(weights[inputCount]);
  const flat = Float64Array.from(weights.slice(0, inputCount).flat());
  return (inputs) => {
    const logits = offsets.slice();
    for (let k = 0, at = 0; k < inputCount; k++) {
      const value = inputs[k];
      for (let c = 0; c < logits.length; c++) logits[c] += value * flat[at++];
    }
    return logits;
  };
}
