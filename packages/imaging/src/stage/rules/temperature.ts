import { softmax } from './softmax.js';

/** One held-out judgement: logits, and the class it should have been. */
export interface HeldOut {
  readonly logits: ArrayLike<number>;
  readonly truth: number;
}

const GOLDEN = (Math.sqrt(5) - 1) / 2;
const STEPS = 40;
const LEAST_PROBABILITY = 1e-12;

/** Mean negative logarithm of the probability given to what was true. */
export function logLoss(judgements: readonly HeldOut[], temperature = 1): number {
  const total = judgements.reduce((sum, { logits, truth }) => {
    const p = softmax(Array.from(logits, (logit) => logit / temperature));
    return sum - Math.log(Math.max(LEAST_PROBABILITY, p[truth]));
  }, 0);
  return total / judgements.length;
}

/**
 * The one temperature, 0.1 to 20, at which held-out probabilities come true best: least log loss (Guo and others 2017,
 * arXiv 1706.04599; from memory), by golden section on its logarithm.
 *
 * @param judgements one or more, held out of the fit
 */
export function fitTemperature(judgements: readonly HeldOut[]): number {
  const loss = (logarithm: number): number => logLoss(judgements, Math.exp(logarithm));
  let [low, high] = [Math.log(0.1), Math.log(20)];
  for (let step = 0; step < STEPS; step++) {
    const inner = high - GOLDEN * (high - low);
    const outer = low + GOLDEN * (high - low);
    if (loss(inner) <= loss(outer)) high = outer;
    else low = inner;
  }
  return Math.exp((low + high) / 2);
}
