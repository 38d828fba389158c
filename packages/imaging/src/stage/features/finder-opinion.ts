/** Floor under a probability before its logarithm is taken. */
const LEAST = 0.001;
/** Classes of the finder that are no egg, embryo or larva. */
const OTHERS: ReadonlySet<string> = new Set(['bubble', 'ciliate', 'fibre', 'debris', 'alga', 'ground']);

/**
 * What the finder's network saw: for each class of egg, embryo or larva `saw_CLASS`, ln(p + 0.001) with p its probability
 * among these classes, -7..0.
 */
export function finderOpinion(classProbabilities: Readonly<Record<string, number>>): Record<string, number> {
  const classes = Object.entries(classProbabilities).filter(([name]) => !OTHERS.has(name));
  const sum = Math.max(
    1e-6,
    classes.reduce((total, [, p]) => total + p, 0),
  );
  return Object.fromEntries(classes.map(([name, p]) => [`saw_${name}`, Math.log(p / sum + LEAST)]));
}
