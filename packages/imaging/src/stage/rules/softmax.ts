/** Probabilities from logits: exponentials over their sum. A logit of -Infinity gives 0. */
export function softmax(logits: ArrayLike<number>): Float64Array {
  const values = Float64Array.from(logits);
  const greatest = values.reduce((a, b) => Math.max(a, b), -Infinity);
  let sum = 0;
  for (let c = 0; c < values.length; c++) sum += values[c] = Math.exp(values[c] - greatest);
  for (let c = 0; c < values.length; c++) values[c] /= sum;
  return values;
}
