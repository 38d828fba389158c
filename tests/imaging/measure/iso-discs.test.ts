import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { measureMask } from '../../../packages/imaging/src/measure/measure-mask.js';
import { inverted, readGrey } from '../../support/read-grey.js';

interface Pages {
  /** Discs on each page, and their median equivalent diameter. */
  readonly discs: readonly number[];
  readonly medianEquivalentDiameterPx: readonly number[];
}

const reference = JSON.parse(
  readFileSync(new URL('../../reference/iso-disc-counts.json', import.meta.url), 'utf8'),
) as { readonly by: string; readonly pages: Readonly<Record<string, Pages>> };

/**
 * Reference images of ISO/TR 19672. `limit` holds for the median of every page, its mean, and the discs' number is that
 * counted by scikit-image. One disc's area is the number of its pixels, which jumps with its place between them: by
 * 6 px (3 %) for 15 px across; `single` is just above the greatest error seen, equal to that of the reference.
 */
const SETS = [
  { file: 'A3_Monodisperse_n100_15px.tif', nominal: 15, limit: 0.01, single: 0.014 },
  { file: 'A3_Monodisperse_n100_30px.tif', nominal: 30, limit: 0.005, single: 0.0065 },
  { file: 'A3_Monodisperse_n100_55px.tif', nominal: 55, limit: 0.005, single: 0.004 },
  { file: 'A3_Monodisperse_n100_90px.tif', nominal: 90, limit: 0.005, single: 0.0012 },
  { file: 'A2_StrictMonodisperse_30px.tif', nominal: 30, limit: 0.005, single: 0.0065 },
  { file: 'A2_StrictMonodisperse_90px.tif', nominal: 90, limit: 0.005, single: 0.0012 },
] as const;

describe('discs of ISO/TR 19672', () => {
  it.each(SETS)('$file: every page', { timeout: 120_000 }, async ({ file, nominal, limit, single }) => {
    const picture = readFileSync(new URL(`../../data/iso-tr-19672-discs/${file}`, import.meta.url));
    const { discs, medianEquivalentDiameterPx } = reference.pages[file];
    expect(discs.length).toBe(file.startsWith('A2') ? 100 : 5);
    for (const [page, expected] of discs.entries()) {
      const found = measureMask(inverted(await readGrey(picture, page)));
      expect(found.length, `discs on page ${String(page)}`).toBe(expected);
      const diameters = found.map(({ measures }) => measures.equivalentDiameterPx).sort((a, b) => a - b);
      const median = (diameters[(expected - 1) >> 1] + diameters[expected >> 1]) / 2;
      const mean = diameters.reduce((sum, diameter) => sum + diameter, 0) / expected;
      expect(median).toBeCloseTo(medianEquivalentDiameterPx[page], 3);
      expect(Math.abs(median / nominal - 1)).toBeLessThan(limit);
      expect(Math.abs(mean / nominal - 1)).toBeLessThan(limit);
      expect(diameters[0] / nominal).toBeGreaterThan(1 - single);
      expect(diameters[expected - 1] / nominal).toBeLessThan(1 + single);
    }
  });
});
