import { readdirSync, readFileSync } from 'node:fs';
import { afterEach, describe, expect, it } from 'vitest';
import { confidenceWords, figureName, figureSource, figureUnit } from '../../apps/web/src/figures/figure-words.js';
import { language } from '../../apps/web/src/words/say.js';

interface Shipped {
  readonly name: string;
  readonly unit: string;
  readonly about: string;
  readonly source: string;
  readonly confidence: string;
}

const folder = new URL('../../packages/hatchery/presets/', import.meta.url);
const shipped = readdirSync(folder).flatMap(
  (file) => (JSON.parse(readFileSync(new URL(file, folder), 'utf8')) as { figures: Shipped[] }).figures,
);

afterEach(() => {
  language.value = 'en';
});

describe('figures that are shipped', () => {
  it('are told in English as their presets tell them', () => {
    expect(shipped.length).toBeGreaterThan(60);
    for (const { name, about } of shipped) expect(figureName({ name })).toBe(about);
  });
  it('have other words in Spanish, for what they are and for how sure they are', () => {
    const [names, sure] = [new Set<string>(), new Set<string>()];
    language.value = 'es';
    for (const { name, about, confidence } of shipped) {
      expect(figureName({ name }), name).not.toBe(about);
      names.add(figureName({ name }));
      expect(confidenceWords({ confidence }), confidence).not.toBe(confidence);
      sure.add(confidenceWords({ confidence }));
    }
    expect(names.size).toBeGreaterThan(40);
    expect(sure.size).toBeGreaterThan(2);
  });
  it('have units as people write them', () => {
    const units = [...new Set(shipped.map(({ unit }) => unit))];
    for (const unit of units) expect(figureUnit({ unit }), unit).not.toMatch(/\bum|\buL|^C$/);
    language.value = 'es';
    const alike = units.filter((unit) => figureUnit({ unit }) === unit);
    expect(alike).toEqual(['K']);
  });
});

describe('a figure of the house', () => {
  it('is told as the house tells it, else by its name', () => {
    expect(figureName({ name: 'algae.our-green.best', about: 'the best of it' })).toBe('the best of it');
    expect(figureName({ name: 'sieve.48' })).toBe('sieve.48');
  });
  it('says where there is no source', () => {
    language.value = 'es';
    expect(figureSource({ source: '1 to 2; common practice, no source' })).toBe(
      '1 to 2; práctica habitual, sin fuente',
    );
  });
});
