import { inverse, Matrix } from 'ml-matrix';
import { softmax } from './softmax.js';

/** How a calibration is fitted. */
export interface CalibrationOptions {
  /** Weights it starts at and is held to. Default: each score for its own class, all else 0. */
  readonly start?: readonly (readonly number[])[];
  /** How strongly it is held to them, above 0. Default 0.0003. */
  readonly hold?: number;
  /** Steps. Default 400. */
  readonly steps?: number;
}

/** Weights that leave scores as they are: `inputs` inputs and an offset, of which the first `classes` are the scores. */
function scoresAsTheyAre(inputs: number, classes: number): number[][] {
  return Array.from({ length: inputs + 1 }, (_, row) => Array.from({ length: classes }, (__, c) => (row === c ? 1 : 0)));
}

/**
 * Calibration to logits, linear: logits = inputs x weights + offsets (the last row), so that the probabilities of held-out
 * larvae come true. Inputs are the discriminant's scores, one a class, then features: where the discriminant's bell shapes
 * do not hold, the features correct it. Multinomial logistic regression by the steps of Boehning and Lindsay (1988, Annals of
 * the Institute of Statistical Mathematics 40:641-663; from memory), each of which raises the likelihood: weights grow by
 * inverse(X'X / 2n + hold I) (X'(Y - P) / n - hold (W - W0)).
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
  const { start = scoresAsTheyAre(width, classes), hold = 3e-4, steps = 400 } = options;
  const rows = inputs.length;
  const x = new Matrix(inputs.map((row) => [...row, 1]));
  const across = x.transpose();
  const from = new Matrix(start.map((row) => [...row]));
  const step = inverse(
    across
      .mmul(x)
      .mul(1 / (2 * rows))
      .add(Matrix.eye(width + 1).mul(hold)),
  );
  const weights = from.clone();
  for (let round = 0; round < steps; round++) {
    const errors = x.mmul(weights);
    for (let row = 0; row < rows; row++) {
      const p = softmax(errors.getRow(row));
      for (let c = 0; c < classes; c++) errors.set(row, c, (truths[row] === c ? 1 : 0) - p[c]);
    }
    const slope = across.mmul(errors).mul(1 / rows);
    slope.sub(Matrix.sub(weights, from).mul(hold));
    weights.add(step.mmul(slope));
  }
  return weights.to2DArray();
}

/** Logits of inputs by a calibration. */
export function calibrated(inputs: ArrayLike<number>, weights: readonly (readonly number[])[]): Float64Array {
  const last = weights.length - 1;
  const logits = Float64Array.from(weights[last]);
  for (let k = 0; k < last; k++) for (let c = 0; c < logits.length; c++) logits[c] += inputs[k] * weights[k][c];
  return logits;
}
