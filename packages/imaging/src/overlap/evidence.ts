/** Natural logarithms of the factorials, as far as they were needed. */
const logFactorials: number[] = [0, 0];

function logFactorial(n: number): number {
  for (let k = logFactorials.length; k <= n; k++) logFactorials.push(logFactorials[k - 1] + Math.log(k));
  return logFactorials[n];
}

/** Base-10 logarithm of the chance of `least` or more successes in `trials`, each with chance `p` (0 < p < 1). */
function logBinomialTail(trials: number, least: number, p: number): number {
  if (least <= 0) return 0;
  if (least > trials) return -Infinity;
  const terms: number[] = [];
  for (let k = least; k <= trials; k++) {
    const ways = logFactorial(trials) - logFactorial(k) - logFactorial(trials - k);
    terms.push(ways + k * Math.log(p) + (trials - k) * Math.log1p(-p));
  }
  const most = Math.max(...terms);
  return (most + Math.log(terms.reduce((sum, term) => sum + Math.exp(term - most), 0))) / Math.LN10;
}

/**
 * Base-10 logarithm of the number of fits this good that chance alone would give: of all the guesses that were tried,
 * each fixed by two marks, those where so many of the other marks in sight lie on like ones by accident (the number of
 * false alarms of Desolneux, Moisan and Morel 2000, doi:10.1023/A:1026593302236).
 */
export function logFalseFits(fit: { matches: number; inSight: number; byChance: number }, tried: number): number {
  return (
    Math.log10(Math.max(1, tried)) + logBinomialTail(fit.inSight - 2, fit.matches - 2, Math.min(0.5, fit.byChance))
  );
}
