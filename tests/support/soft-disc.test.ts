import { expect, it } from 'vitest';
import { RISE_OVER_SIGMA, softDiscLevels, softDiscRaster } from './soft-disc.js';

const disc = { size: 41, x: 20, y: 20, radius: 10, ground: 200, inside: 100, sigma: 2 };

it('is half way at the radius, ground far outside, dark in the middle', () => {
  const levels = softDiscLevels(disc);
  expect(levels[20 * 41 + 30]).toBe(150);
  expect(levels[0]).toBe(200);
  expect(levels[20 * 41 + 20]).toBe(100);
  // One standard deviation inside 84.13 % of the way is gone (normal tables).
  expect(levels[20 * 41 + 28]).toBe(116);
});

it('rises from 10 to 90 % over 2.563 standard deviations', () => {
  expect(RISE_OVER_SIGMA).toBeCloseTo(2.563, 3);
});

it('gives all three colours the same level', () => {
  const { data } = softDiscRaster(disc);
  expect([...data.subarray(3 * (20 * 41 + 30), 3 * (20 * 41 + 31))]).toEqual([150, 150, 150]);
});
