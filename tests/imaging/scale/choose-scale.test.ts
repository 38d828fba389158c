import { describe, expect, it } from 'vitest';
import { checkScaleBySizes } from '../../../packages/imaging/src/scale/check-scale-by-sizes.js';
import { chooseScale } from '../../../packages/imaging/src/scale/choose-scale.js';

const grid = { pitchUm: 1000, umPerPx: 2, relativeStandardUncertainty: 0.001 };
const hint = { umPerPx: 1.5, from: 'exif' } as const;
const codes = (chosen: ReturnType<typeof chooseScale>): string[] => chosen.warnings.map(({ code }) => code);

describe('chooseScale', () => {
  it('takes the given scale before the ruled lines, silently up to 2 % apart', () => {
    const chosen = chooseScale({ givenUmPerPx: 2.03, grid, hint });
    expect(chosen.scale).toMatchObject({ umPerPx: 2.03, source: 'given' });
    expect(chosen.warnings).toEqual([]);
  });

  it('warns with both numbers when a given scale is more than 2 % off the lines', () => {
    const chosen = chooseScale({ givenUmPerPx: 2.05, grid, hint: null });
    expect(codes(chosen)).toEqual(['scale-disagrees-with-grid']);
    expect(chosen.warnings[0]?.message).toMatch(/2\.050 um\/px.*2\.000 um\/px/);
  });

  it('takes the ruled lines and says which pitch it assumed', () => {
    const chosen = chooseScale({ givenUmPerPx: null, grid, hint });
    expect(chosen.scale).toEqual({
      umPerPx: 2,
      source: 'ruled-cell',
      relativeStandardUncertainty: 0.001,
      assumedPitchUm: 1000,
    });
    expect(chosen.warnings[0]?.message).toContain('1000 um apart');
  });

  it('labels a scale that only the file states', () => {
    const chosen = chooseScale({ givenUmPerPx: null, grid: null, hint });
    expect(chosen.scale).toMatchObject({ umPerPx: 1.5, source: 'exif' });
    expect(codes(chosen)).toEqual(['scale-from-photo-tag']);
  });

  it('says so when there is none', () => {
    const chosen = chooseScale({ givenUmPerPx: null, grid: null, hint: null });
    expect(chosen.scale).toEqual({ umPerPx: null, source: 'none', relativeStandardUncertainty: null });
    expect(codes(chosen)).toEqual(['no-scale']);
  });
});

describe('checkScaleBySizes', () => {
  const scale = chooseScale({ givenUmPerPx: null, grid, hint: null }).scale;

  it('is content with objects of 70 um', () => {
    expect(checkScaleBySizes(scale, [34, 35, 35, 36, 40])).toBeNull();
  });

  it('finds objects of 700 um ten times too large, and names lines 100 um apart', () => {
    const warning = checkScaleBySizes(scale, [340, 350, 350, 360, 400]);
    expect(warning?.code).toBe('scale-power-of-ten');
    expect(warning?.message).toContain('700 um');
    expect(warning?.message).toMatch(/Lines (100|200|250) um apart/);
  });

  it('finds objects of 7 um too small', () => {
    expect(checkScaleBySizes(scale, [3.4, 3.5, 3.5, 3.6, 4])?.code).toBe('scale-power-of-ten');
  });

  it('says nothing of four objects', () => {
    expect(checkScaleBySizes(scale, [340, 350, 360, 400])).toBeNull();
  });
});
