/** Natural logarithms of the factorials, as far as they were needed. */
const logFactorials: number[] = [0, 0];

function logFactorial(n: number): number {
  for (let k = logFactorials.length; k <= n; k++) logFactorials.push(logFactorials[k - 1] + Math.log(k));
  return logFactorials[n];
}

/** Terms beyond which the tail adds nothing that matters. */
const TERMS = 60;

/**
 * Base-10 logarithm of the chance that a Poisson variable of mean `mean` (above 0) is `least` or more. An upper bound of
 * the chance of so many successes among independent trials of any small chances with that sum (Le Cam 1960; above the
 * mean the Poisson tail is the heavier one: Hoeffding 1956, theorem 4).
 */
export function logPoissonTail(mean: number, least: number): number {
  if (least <= mean) return 0;
  const terms = Array.from({ length: TERMS }, (_, k) => (least + k) * Math.log(mean) - mean - logFactorial(least + k));
  const most = Math.max(...terms);
  return (most + Math.log(terms.reduce((sum, term) => sum + Math.exp(term - most), 0))) / Math.LN10;
}

/**
 * Base-10 logarithm of the number of ways to lay one photo on another, of all that can be told apart, in which chance
 * alone would bring so many like marks together (number of false alarms of Desolneux, Moisan and Morel 2000,
 * doi:10.1023/A:1026593302236).
 *
 * @param fit marks that lie on like ones, and how many would by chance
 * @param ways number of ways, 1 or more
 */
export function logFalseFits(fit: { readonly matches: number; readonly byChance: number }, ways: number): number {
  return Math.log10(Math.max(1, ways)) + logPoissonTail(Math.max(1e-6, fit.byChance), fit.matches);
}

/** Base-10 logarithm of the chance of `least` or more successes in `trials`, each with chance `p` (0 < p < 1). */
export function logBinomialTail(trials: number, least: number, p: number): number {
  if (least <= 0) return 0;
  if (least > trials) return -Infinity;
  const terms = Array.from({ length: trials - least + 1 }, (_, i) => {
    const k = least + i;
    const ways = logFactorial(trials) - logFactorial(k) - logFactorial(trials - k);
    return ways + k * Math.log(p) + (trials - k) * Math.log1p(-p);
  });
  const most = Math.max(...terms);
  return (most + Math.log(terms.reduce((sum, term) => sum + Math.exp(term - most), 0))) / Math.LN10;
}
