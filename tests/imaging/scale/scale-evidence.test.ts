import sharp from 'sharp';
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { countPhoto } from '@veligrid/imaging';
import { readPhoto, type Page } from '../../../packages/imaging/src/photo/read-photo.js';
import { chooseScale } from '../../../packages/imaging/src/scale/choose-scale.js';
import { scaleEvidence } from '../../../packages/imaging/src/scale/scale-evidence.js';
import { drawnRuler, type RulerSpec } from '../ruler/drawn-ruler.js';

const samples = new URL('../../../sample-images/', import.meta.url).pathname;
const frame = { kind: 'frame', ground: 'light' } as const;
const round = { kind: 'round', ground: 'light', centrePx: [449.5, 209.5], radiusPx: 440 } as const;
const wishes = { cell: 'sedgwick-rafter', scaleUmPerPx: null, calibration: null } as const;
const calibrated = {
  name: 'eyepiece',
  sizePx: [900, 420] as const,
  umPerPx: 2,
  relativeStandardUncertainty: 0.001,
  eyepieceRuler: { divisionPx: 10, divisionUm: 20, relativeStandardUncertainty: 0.001 },
};
const pageOf = (spec: RulerSpec): Page => ({
  raster: drawnRuler(spec),
  page: 1,
  pages: 1,
  scaleHint: null,
  warnings: [],
});

describe('scaleEvidence', () => {
  it('takes a plain ruler for a stage micrometer of 10 um', () => {
    const { scale } = chooseScale(scaleEvidence(pageOf({ division: 12.5 }), frame, wishes).evidence);
    expect(scale).toMatchObject({ source: 'stage-micrometer', assumedPitchUm: 10 });
    expect(Math.abs((scale.umPerPx ?? 0) / 0.8 - 1)).toBeLessThan(0.001);
  });

  it.each([
    ['a line runs along it', { division: 12.5, crossed: true }, frame],
    ['the field is round', { division: 12.5 }, round],
  ])('takes no scale from a ruler when %s: it is the one of the eyepiece', (_, spec, field) => {
    const { scale, warnings } = chooseScale(scaleEvidence(pageOf(spec), field, wishes).evidence);
    expect(scale.source).toBe('none');
    expect(warnings.map(({ code }) => code)).toContain('ruler-not-calibrated');
  });

  it('takes no scale from lines that are all alike, where one could be left out unseen', () => {
    const alike = pageOf({ division: 12.5, halves: [20, 20, 20] });
    expect(scaleEvidence(alike, frame, wishes).evidence.ruler).toBeNull();
  });

  it('reads the ruler of the eyepiece by its calibrated division, whatever the zoom', () => {
    const zoomed = pageOf({ division: 12.5, crossed: true });
    const { scale } = chooseScale(scaleEvidence(zoomed, frame, { ...wishes, calibration: calibrated }).evidence);
    expect(scale.source).toBe('eyepiece-ruler');
    // 20 um a division of 12.5 px
    expect(Math.abs((scale.umPerPx ?? 0) / 1.6 - 1)).toBeLessThan(0.001);
  });
});

describe('scale of whole photos', () => {
  it('of a drawn stage micrometer is found when counting, without any larva', async () => {
    const { data, width, height } = drawnRuler({ division: 9.8, angle: 0.08 });
    const bytes = await sharp(data, { raw: { width, height, channels: 3 } })
      .png()
      .toBuffer();
    const [count] = await countPhoto(bytes);
    expect(count?.scale.source).toBe('stage-micrometer');
    expect(Math.abs((count?.scale.umPerPx ?? 0) * 0.98 - 1)).toBeLessThan(0.001);
    expect(count?.detections.filter(({ counted }) => counted)).toEqual([]);
  }, 60_000);

  // sample-images/README.md: 0.6000 um/px, 10H9 1.7144, with which the scale bars burnt into the photographs agree
  it.each([
    ['coral-eggs/10H9_000_scale.jpg', 1.7144],
    ['coral-eggs/3L14_000_scale.jpg', 0.6],
    ['coral-eggs/4H9_000_scale.jpg', 0.6],
    ['coral-eggs/3L4_4xstitch_scale.jpg', 0.6],
  ])(
    'of the photograph %s is what its EXIF block states, marked as a hint',
    async (name, umPerPx) => {
      const { value: page } = await readPhoto(samples + name).next();
      if (page === undefined) throw new Error('no page');
      const { scale, warnings } = chooseScale(scaleEvidence(page, frame, wishes).evidence);
      expect(scale.source).toBe('exif');
      expect(scale.umPerPx).toBeCloseTo(umPerPx, 4);
      expect(warnings.map(({ code }) => code)).toEqual(['scale-from-photo-tag']);
    },
    30_000,
  );

  it('of a drawn slide with ruled squares stays that of the squares', async () => {
    const truth = JSON.parse(readFileSync(`${samples}truth/calibration_00.json`, 'utf8')) as { um_per_px: number };
    const { value: page } = await readPhoto(`${samples}drawn/calibration_00.jpg`).next();
    if (page === undefined) throw new Error('no page');
    const { scale } = chooseScale(scaleEvidence(page, frame, wishes).evidence);
    expect(scale.source).toBe('ruled-cell');
    expect(Math.abs((scale.umPerPx ?? 0) / truth.um_per_px - 1)).toBeLessThan(0.005);
  }, 30_000);
});
