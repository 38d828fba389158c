import { describe, expect, it } from 'vitest';
import { extentAlong } from '../../../packages/imaging/src/measure/extent-along.js';
import { lengthUncertainty } from '../../../packages/imaging/src/measure/length-uncertainty.js';
import { measureMask } from '../../../packages/imaging/src/measure/measure-mask.js';
import { normalFrom, seededRandom } from '../../support/seeded-random.js';
import { RISE_OVER_SIGMA, softDiscLevels } from '../../support/soft-disc.js';

const plain = { lengthPx: 60, isGreatest: false, contrast: 80, noise: 4, edgeWidthPx: 3, scaleRelative: 0 };

describe('lengthUncertainty', () => {
  it('adds its parts as squares', () => {
    const { noisePx, edgePx, scalePx, totalPx } = lengthUncertainty({ ...plain, scaleRelative: 0.01 });
    expect(scalePx).toBeCloseTo(0.6, 12);
    // 2 * 0.125 * 3 px / sqrt(3), and 0.65 * 4 * 3 / (0.8 * 80).
    expect(edgePx).toBeCloseTo(0.433, 3);
    expect(noisePx).toBeCloseTo(0.122, 3);
    expect(totalPx).toBeCloseTo(Math.hypot(0.6, 0.433, 0.122), 3);
  });

  it('grows with noise and width, and is large where no edge was seen', () => {
    const base = lengthUncertainty(plain).totalPx;
    expect(lengthUncertainty({ ...plain, noise: 12 }).totalPx).toBeGreaterThan(base);
    expect(lengthUncertainty({ ...plain, edgeWidthPx: 6 }).totalPx).toBeGreaterThan(1.9 * base);
    expect(lengthUncertainty({ ...plain, edgeWidthPx: null }).totalPx).toBeGreaterThan(0.03 * 60);
  });
});

/** Standard deviation. */
function scatter(values: readonly number[]): number {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1));
}

describe('the part from noise against the scatter of drawn discs', () => {
  const CONTRAST = 80;
  it.each([
    { radius: 12, sigma: 0.8, noise: 6 },
    { radius: 12, sigma: 1.5, noise: 2 },
    { radius: 30, sigma: 0.8, noise: 2 },
    { radius: 30, sigma: 1.5, noise: 6 },
    { radius: 30, sigma: 3, noise: 2 },
    { radius: 60, sigma: 1.5, noise: 4 },
  ])('radius $radius px, blur $sigma px, noise $noise: within a factor of 1.5', ({ radius, sigma, noise }) => {
    const random = seededRandom(1000 * radius + 10 * sigma + noise);
    const normal = normalFrom(random);
    const size = Math.ceil(2 * radius + 8 * sigma + 8);
    const along: number[] = [];
    const greatest: number[] = [];
    // 150 discs: the scatter itself is known to 1 / sqrt(2 * 149) = 6 %.
    for (let k = 0; k < 150; k++) {
      const [x, y] = [size / 2 + random() - 0.5, size / 2 + random() - 0.5];
      const levels = softDiscLevels({
        ...{ size, x, y, radius, sigma },
        ground: 200,
        inside: 200 - CONTRAST,
        noise: () => noise * normal(),
      });
      // Cut half way: the share of the contrast, as a grey mask.
      const data = levels.map((level) => Math.max(0, Math.min(255, Math.round((255 * (200 - level)) / CONTRAST))));
      const largest = measureMask({ width: size, height: size, data }).reduce((a, b) => (b.pixels > a.pixels ? b : a));
      along.push(extentAlong(largest.outline, 0));
      greatest.push(largest.measures.feret.maxPx);
    }
    const evidence = {
      ...plain,
      lengthPx: 2 * radius,
      contrast: CONTRAST,
      noise,
      edgeWidthPx: RISE_OVER_SIGMA * sigma,
    };
    for (const [lengths, isGreatest] of [
      [along, false],
      [greatest, true],
    ] as const) {
      const { noisePx, totalPx } = lengthUncertainty({ ...evidence, isGreatest });
      const ratio = noisePx / scatter(lengths);
      expect(ratio).toBeGreaterThan(1 / 1.5);
      expect(ratio).toBeLessThan(1.5);
      expect(totalPx).toBeGreaterThan(scatter(lengths));
    }
  });
});
