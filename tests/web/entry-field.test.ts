import { afterEach, describe, expect, it } from 'vitest';
import { sentFields, typedNumber, wrongIn } from '../../apps/web/src/entries/entry-field.ts';
import { language } from '../../apps/web/src/words/say.ts';

afterEach(() => {
  language.value = 'en';
});

describe('a number that somebody typed', () => {
  it.each([
    ['480000', '480000'],
    ['480 000', '480000'],
    ['8,000,000', '8000000'],
    ['8.000.000', '8000000'],
    ['12.5', '12.5'],
    ['12,5', '12.5'],
    ['1.250', '1.25'],
  ])('%s is %s', (typed, sent) => {
    expect(typedNumber(typed)).toBe(sent);
  });
  it.each(['8,000', 'about 8', '1,2,3', ''])('%s is none, or could be two', (typed) => {
    expect(typedNumber(typed)).toBeNull();
  });
  it('in Spanish may have a point between thousands, so three digits behind one can be read in two ways', () => {
    language.value = 'es';
    expect(typedNumber('8.000')).toBeNull();
    expect(typedNumber('8.000.000')).toBe('8000000');
    expect([typedNumber('0.125'), typedNumber('0,125')]).toEqual(['0.125', '0.125']);
  });
});

describe('fields of an entry', () => {
  const fields = [
    { name: 'tank', label: 'Tank', required: true },
    { name: 'number', label: 'Larvae', as: 'number' },
    { name: 'at', label: 'When', as: 'time' },
  ] as const;
  it('say what is missing and what can not be read', () => {
    expect(wrongIn(fields, { number: '8,000' })).toEqual({
      tank: 'This is needed.',
      number: 'Can be read in two ways: write 8000, or 8.0 for eight.',
    });
  });
  it('are sent as the record takes them, times in UTC, without those left empty', () => {
    const at = new Date(2026, 4, 6, 10, 30);
    expect(sentFields(fields, { tank: ' 1-15 ', number: '', at: '2026-05-06T10:30' })).toEqual({
      tank: '1-15',
      at: at.toISOString(),
    });
  });
});
