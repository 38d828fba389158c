import { describe, expect, it } from 'vitest';
import type { Sample } from '@veligrid/api';
import { correctionOf, correctionText } from '../../apps/web/src/counts/corrections.js';
import { IN_ORDER, NO_FIELD, shownFields } from '../../apps/web/src/counts/drawn-fields.js';
import { newSampleOf, startingText, wrongWith, type NewCountText } from '../../apps/web/src/counts/new-count.js';

const text = (more: Partial<NewCountText> = {}): NewCountText => ({
  ...startingText(new Date('2026-06-01T09:30:00Z'), 'L'),
  tank: 'Tank 4',
  container: '200',
  ...more,
});

describe('beginning a count', () => {
  it('wants a tank and a volume', () => {
    expect(wrongWith(text())).toEqual({});
    expect(wrongWith(text({ tank: ' ', container: '' }))).toEqual({ tank: 'wrong.tank', container: 'wrong.volume' });
    expect(wrongWith(text({ container: '0' }))).toEqual({ container: 'wrong.volume' });
  });
  it('wants both volumes of a step, and never a ratio', () => {
    expect(wrongWith(text({ steps: [{ takenMl: '10', madeUpToMl: '' }] }))).toEqual({ steps: 'wrong.steps' });
    expect(wrongWith(text({ steps: [{ takenMl: '1:10', madeUpToMl: '100' }] }))).toEqual({ steps: 'wrong.steps' });
    expect(wrongWith(text({ steps: [{ takenMl: '', madeUpToMl: '' }] }))).toEqual({});
  });
  it('says with what a fixed sample was fixed, and the volume of a slide without lines', () => {
    expect(wrongWith(text({ condition: 'fixed' }))).toEqual({ fixative: 'wrong.fixative' });
    expect(wrongWith(text({ cell: 'none' }))).toEqual({ wholeSlideMl: 'wrong.volume' });
  });
  it('is sent in millilitres, with one filling for each', () => {
    const sent = newSampleOf(text({ fillings: '3', steps: [{ takenMl: '10', madeUpToMl: '100,5' }] }), 'tank-1');
    expect(sent).toMatchObject({ tank: 'tank-1', containerMl: 200_000, condition: { kind: 'live' }, draw: null });
    expect(sent.fillings).toEqual(
      Array.from({ length: 3 }, () => ({ steps: [{ takenMl: 10, madeUpToMl: 100.5 }], wholeSlideMl: null })),
    );
  });
});

describe('a correction', () => {
  const sample = {
    containerMl: 37_854.11784,
    note: '',
    fillings: [{ steps: [{ takenMl: 10, madeUpToMl: 100 }], wholeSlideMl: null }],
  } as unknown as Sample;

  it('begins with what is stored, in the unit of this device, and needs a reason', () => {
    const text = correctionText(sample, 'gal');
    expect(text.container).toBe('10');
    expect(correctionOf(text, 'gal')).toBe('wrong.why');
    expect(correctionOf({ ...text, container: '0', why: 'x' }, 'gal')).toBe('wrong.volume');
    const changed = correctionOf({ ...text, container: '20', why: ' a second bucket ' }, 'gal');
    // a US gallon is 3785.411784 mL (NIST Handbook 44, appendix C)
    expect(changed).toMatchObject({ fillings: sample.fillings, why: 'a second bucket' });
    expect((changed as { containerMl: number }).containerMl).toBeCloseTo(75_708.23568, 6);
  });
});

describe('drawn fields', () => {
  it('are given to photos in order, or one to the first, or none', () => {
    const left = ['Q7', 'B2', 'C9'];
    expect(shownFields(2, IN_ORDER, left)).toEqual(['Q7', 'B2']);
    expect(shownFields(4, IN_ORDER, left)).toEqual(['Q7', 'B2', 'C9', null]);
    expect(shownFields(2, 'B2', left)).toEqual(['B2', null]);
    expect(shownFields(1, NO_FIELD, left)).toEqual([null]);
  });
});
