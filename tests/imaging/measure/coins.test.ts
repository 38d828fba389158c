import { expect, it } from 'vitest';
import { measureMask } from '../../../packages/imaging/src/measure/measure-mask.js';
import { brighterThanAround } from '../../support/coins-mask.js';
import { readGrey } from '../../support/read-grey.js';

/**
 * Equivalent diameters of the coins in px, largest first, as scikit-image 0.19.3 gives them by another way: watershed of
 * the Sobel gradient from markers below 30 and above 150, holes filled, areas above 200 px (its user guide's example).
 */
const BY_WATERSHED = [
  63.2, 57.6, 56.0, 54.7, 50.4, 49.4, 47.4, 47.0, 45.9, 45.4, 43.6, 43.5, 43.3, 42.5, 41.5, 40.7, 39.5, 39.2, 38.7,
  38.3, 37.8, 37.6, 37.5, 37.0,
];

it('counts the 24 coins on an uneven ground and measures them as another method does', async () => {
  const picture = await readGrey(new URL('../../data/coins/coins.png', import.meta.url).pathname);
  const coins = measureMask(brighterThanAround(picture)).filter(({ measures }) => measures.areaPx2 > 200);
  expect(coins).toHaveLength(24);
  const diameters = coins.map(({ measures }) => measures.equivalentDiameterPx).sort((a, b) => b - a);
  // Both draw the blurred rim of a coin where they will: within 1 px.
  diameters.forEach((diameter, k) => {
    expect(Math.abs(diameter - BY_WATERSHED[k])).toBeLessThan(1);
  });
  for (const { measures } of coins) {
    expect(measures.solidity).toBeGreaterThan(0.97);
    expect(measures.circularity).toBeGreaterThan(0.85);
    expect(measures.feret.minPx / measures.feret.maxPx).toBeGreaterThan(0.85);
  }
});
