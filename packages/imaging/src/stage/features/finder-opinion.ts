/** Floor under a probability before its logarithm is taken. */
const LEAST = 0.001;
/** Classes of the finder that are no egg, embryo or larva. */
const OTHERS: ReadonlySet<string> = new Set(['bubble', 'ciliate', 'fibre', 'debris', 'alga', 'ground']);

/**
 * What the finder's network saw: for each class of egg, embryo or larva `saw_CLASS`, ln(p + 0.001) with p its probability
 * among these classes, -7..0.
 */
export function finderOpinion(classProbabilities: Readonly<Record<string, number>>): Record<string, number> {
  let total = 0;
  for (const name in classProbabilities) if (!OTHERS.has(name)) total += classProbabilities[name];
  const sum = Math.max(1e-6, total);
  const opinion: Record<string, number> = {};
  for (const name in classProbabilities) {
    if (!OTHERS.has(name)) opinion[`saw_${name}`] = Math.log(classProbabilities[name] / sum + LEAST);
  }
  return opinion;
}
