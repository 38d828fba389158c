import { describe, expect, it } from 'vitest';
import { chooseScale, type ScaleEvidence } from '../../../packages/imaging/src/scale/choose-scale.js';
import { useCalibration } from '../../../packages/imaging/src/scale/use-calibration.js';

const saved = {
  name: 'bench 4x',
  sizePx: [4000, 3000] as const,
  umPerPx: 1.2,
  relativeStandardUncertainty: 0.001,
  eyepieceRuler: null,
};
const used = { umPerPx: 1.2, relativeStandardUncertainty: 0.001, warnings: [] };
const nothing: ScaleEvidence = { givenUmPerPx: null, calibration: null, grid: null, ruler: null, hint: null };
const grid = { pitchUm: 1000, umPerPx: 1.3, relativeStandardUncertainty: 0.001 };
const micrometer = { kind: 'micrometer', umPerPx: 0.7, relativeStandardUncertainty: 0.0006 } as const;
const eyepiece = { kind: 'eyepiece', divisionPx: 12, umPerPx: 1.25, relativeStandardUncertainty: 0.002 } as const;
const codes = (evidence: Partial<ScaleEvidence>): string[] =>
  chooseScale({ ...nothing, ...evidence }).warnings.map(({ code }) => code);

describe('useCalibration', () => {
  it('takes the scale as it is for a photo of the same size, standing or lying', () => {
    expect(useCalibration(saved, { width: 4000, height: 3000 })).toEqual(used);
    expect(useCalibration(saved, { width: 3000, height: 4000 }).umPerPx).toBe(1.2);
  });

  it('scales it for the same view saved at half the size, with a warning', () => {
    const half = useCalibration(saved, { width: 2000, height: 1500 });
    expect(half.umPerPx).toBeCloseTo(2.4, 12);
    expect(half.warnings.map(({ code }) => code)).toEqual(['calibration-resized']);
    expect(half.warnings[0]?.message).toContain('2000 x 1500 px');
  });

  it('takes a scale that was given as a number for a photo of any size', () => {
    expect(useCalibration({ ...saved, sizePx: null }, { width: 640, height: 480 })).toEqual(used);
  });

  it('is not used for a photo of another shape', () => {
    const cut = useCalibration(saved, { width: 4000, height: 2250 });
    expect(cut.umPerPx).toBeNull();
    expect(cut.warnings.map(({ code }) => code)).toEqual(['calibration-not-used']);
  });
});

describe('chooseScale with calibrations and rulers', () => {
  it('takes a calibration before ruled lines, and warns where they are more than 2 % apart', () => {
    const chosen = chooseScale({ ...nothing, calibration: used, grid });
    expect(chosen.scale).toEqual({ umPerPx: 1.2, source: 'calibration', relativeStandardUncertainty: 0.001 });
    expect(chosen.warnings.map(({ code }) => code)).toEqual(['scale-disagrees-with-grid']);
    expect(codes({ calibration: used, grid: { ...grid, umPerPx: 1.21 } })).toEqual([]);
  });

  it('takes the ruler in the eyepiece where its division is calibrated, and tells of a changed zoom', () => {
    const chosen = chooseScale({ ...nothing, calibration: used, ruler: eyepiece });
    expect(chosen.scale).toEqual({ umPerPx: 1.25, source: 'eyepiece-ruler', relativeStandardUncertainty: 0.002 });
    expect(chosen.warnings.map(({ code }) => code)).toEqual(['scale-differs-from-calibration']);
    expect(codes({ calibration: used, ruler: { ...eyepiece, umPerPx: 1.21 } })).toEqual([]);
    // the ruler serves also where the photo has another shape than the calibrated picture
    const cut = chooseScale({ ...nothing, calibration: { ...used, umPerPx: null }, ruler: eyepiece });
    expect(cut.scale.source).toBe('eyepiece-ruler');
  });

  it('never takes the ruler in the eyepiece where its division is not known', () => {
    const chosen = chooseScale({ ...nothing, ruler: { ...eyepiece, umPerPx: null } });
    expect(chosen.scale.source).toBe('none');
    expect(chosen.warnings.map(({ code }) => code)).toEqual(['no-scale', 'ruler-not-calibrated']);
    expect(chosen.warnings[1]?.message).toContain('12.00 px a division');
  });

  it('takes a stage micrometer and says which division it assumed', () => {
    const chosen = chooseScale({ ...nothing, ruler: micrometer, hint: { umPerPx: 3, from: 'tiff' } });
    expect(chosen.scale).toEqual({
      umPerPx: 0.7,
      source: 'stage-micrometer',
      relativeStandardUncertainty: 0.0006,
      assumedPitchUm: 10,
    });
    expect(chosen.warnings.map(({ code }) => code)).toEqual(['scale-from-stage-micrometer']);
  });

  it('checks a given scale against a stage micrometer in the photo', () => {
    expect(codes({ givenUmPerPx: 0.71, ruler: micrometer })).toEqual([]);
    expect(codes({ givenUmPerPx: 0.72, ruler: micrometer })).toEqual(['scale-disagrees-with-ruler']);
  });

  it('goes on to what is seen where a calibration is not used, and says so', () => {
    const refused = useCalibration(saved, { width: 1000, height: 1000 });
    const chosen = chooseScale({ ...nothing, calibration: refused, grid });
    expect(chosen.scale.source).toBe('ruled-cell');
    expect(chosen.warnings.map(({ code }) => code)).toEqual(['calibration-not-used', 'scale-from-ruled-cell']);
  });

  it.each([
    ['ome', 'OME-XML'],
    ['exif', 'EXIF'],
    ['tiff', 'TIFF'],
  ] as const)('labels a hint from %s', (from, words) => {
    const chosen = chooseScale({ ...nothing, hint: { umPerPx: 0.65, from } });
    expect(chosen.scale).toMatchObject({ umPerPx: 0.65, source: 'exif' });
    expect(chosen.warnings[0]?.message).toContain(words);
  });
});
