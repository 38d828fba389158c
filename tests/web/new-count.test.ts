import { describe, expect, it } from 'vitest';
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
