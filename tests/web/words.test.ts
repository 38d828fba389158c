import { afterEach, describe, expect, it } from 'vitest';
import { FLAGS, FORMS, STAGES } from '../../packages/model/src/index.js';
import {
  celsiusToFahrenheit,
  exactNumber,
  fahrenheitToCelsius,
  fromMl,
  percent,
  readNumber,
  threeFigures,
  toMl,
  typedForm,
  writeDecimals,
} from '../../apps/web/src/words/numbers.js';
import { typedNumber } from '../../apps/web/src/entries/entry-field.js';
import { hasWord, language, say, sayIn, LANGUAGES } from '../../apps/web/src/words/say.js';
import words from '../../apps/web/src/words/words.json' with { type: 'json' };

afterEach(() => {
  language.value = 'en';
  writeDecimals('language');
});

describe('words', () => {
  const names = (text: string): string[] => [...text.matchAll(/\{(\w+)\}/g)].map(([, name]) => name ?? '');
  it('say the same in every language: same names to fill in, nothing left empty', () => {
    for (const [word, { en, es }] of Object.entries(words)) {
      expect([...new Set(names(es))].toSorted(), word).toEqual([...new Set(names(en))].toSorted());
      for (const text of [en, es]) expect(text.trim().length, word).toBeGreaterThan(0);
      expect(es.split(' | ').length, word).toBe(en.split(' | ').length);
    }
  });
  it('name every stage, form and flag', () => {
    for (const stage of STAGES) expect(hasWord(`stage.${stage}`), stage).toBe(true);
    for (const form of FORMS) expect(hasWord(`form.${form}`), form).toBe(true);
    for (const flag of FLAGS) expect(hasWord(`flag.${flag}`), flag).toBe(true);
  });
  it('choose between one and many', () => {
    expect(sayIn('en', 'look.left', { n: 1 })).toBe('1 needs a look');
    expect(sayIn('en', 'look.left', { n: 1200 })).toBe('1,200 need a look');
    expect(sayIn('es', 'look.left', { n: 1 })).toBe('1 pide un vistazo');
  });
  it('follow the language chosen', () => {
    const said = LANGUAGES.map((tag) => {
      language.value = tag;
      return say('state.open');
    });
    expect(said).toEqual(['not signed off', 'sin firmar']);
  });
});

describe('numbers', () => {
  it('are shown to three figures', () => {
    expect([1234.5, 0.012345, 26_612_345, 0].map(threeFigures)).toEqual(['1,230', '0.0123', '26,600,000', '0']);
    expect(percent(0.8234)).toBe('82.3 %');
    writeDecimals('comma');
    expect(percent(0.8234)).toBe('82,3 %');
  });
  it('in a field are short, and read back as they stand there, in Spanish too', () => {
    expect([258.492, 5_444_444.4, 0.0123456, 1.2345, -2].map(typedForm)).toEqual([
      '258.49',
      '5444444',
      '0.01235',
      '1.23',
      '-2',
    ]);
    language.value = 'es';
    const shown = [258.492, 1.2345, 0.125, 1_840_000].map(typedForm);
    expect(shown).toEqual(['258,49', '1,23', '0,125', '1840000']);
    expect(shown.map(typedNumber)).toEqual(['258.49', '1.23', '0.125', '1840000']);
    expect(exactNumber(40_000.5)).toBe('40.000,5');
  });
  it('a US gallon is 231 cubic inches, 3785.411784 mL (NIST Handbook 44, appendix C)', () => {
    expect(toMl(1, 'gal')).toBeCloseTo(3785.411784, 9);
    expect(fromMl(toMl(52.5, 'gal'), 'gal')).toBeCloseTo(52.5, 12);
    expect(toMl(2, 'L')).toBe(2000);
  });
  it('water freezes at 32 F and boils at 212 F', () => {
    expect([fahrenheitToCelsius(32), fahrenheitToCelsius(212)]).toEqual([0, 100]);
    expect(celsiusToFahrenheit(25)).toBe(77);
  });
  it('are read with point or comma, and nothing else is a number', () => {
    expect([' 1.5 ', '1,5', '.5', '12', '-3'].map((text) => readNumber(text))).toEqual([1.5, 1.5, 0.5, 12, -3]);
    for (const text of ['', 'a', '1.5.2', '1e5', '1:10', 'NaN']) expect(readNumber(text), text).toBeNull();
  });
});
