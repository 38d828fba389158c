import { expect, it } from 'vitest';
import { normalFrom, seededRandom } from './seeded-random.js';

it('gives the same numbers for the same seed and others for another', () => {
  const [a, b, c] = [seededRandom(1), seededRandom(1), seededRandom(2)];
  const first = [a(), a(), a()];
  expect([b(), b(), b()]).toEqual(first);
  expect([c(), c(), c()]).not.toEqual(first);
});

it('spreads normal numbers with mean 0 and standard deviation 1', () => {
  const next = normalFrom(seededRandom(3));
  const values = Array.from({ length: 20000 }, next);
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const variance = values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length;
  // Standard errors: 1 / sqrt(20000) = 0.007 and sqrt(2 / 20000) = 0.01; limits are four of them.
  expect(Math.abs(mean)).toBeLessThan(0.028);
  expect(Math.abs(variance - 1)).toBeLessThan(0.04);
});
