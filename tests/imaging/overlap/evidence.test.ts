import { describe, expect, it } from 'vitest';
import { logBinomialTail, logFalseFits, logPoissonTail } from '../../../packages/imaging/src/overlap/evidence.js';

describe('chance of coincidences', () => {
  // scipy 1.10.1: log10(scipy.stats.poisson.sf(least - 1, mean))
  it.each([
    [0.01, 4, -9.383685018],
    [0.05, 7, -12.82863428],
    [0.682, 8, -6.197494002],
    [3, 5, -0.733446688],
    [0.2, 60, -123.943807826],
  ])('Poisson of mean %d, %d or more: 10^%d', (mean, least, expected) => {
    expect(logPoissonTail(mean, least)).toBeCloseTo(expected, 6);
  });

  // scipy 1.10.1: log10(scipy.stats.binom.sf(least - 1, trials, p))
  it.each([
    [19, 10, 0.005, -18.062535774],
    [40, 40, 0.01, -80],
    [5, 1, 0.3, -0.079913214],
    [12, 6, 0.5, -0.212686226],
  ])('binomial of %d, %d or more, each %d: 10^%d', (trials, least, p, expected) => {
    expect(logBinomialTail(trials, least, p)).toBeCloseTo(expected, 6);
  });

  it('is sure of nothing, and can never be of more than there is', () => {
    expect(logPoissonTail(2, 1)).toBe(0);
    expect(logBinomialTail(5, 0, 0.1)).toBe(0);
    expect(logBinomialTail(5, 6, 0.1)).toBe(-Infinity);
    // by hand: of 1000 ways, each with a chance of about 0.001 to the fourth over 4!
    expect(logFalseFits({ matches: 4, byChance: 0.001 }, 1000)).toBeCloseTo(3 - 12 - Math.log10(24), 3);
  });
});
