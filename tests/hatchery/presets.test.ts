import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { figureBook, parseFigures } from '@veligrid/hatchery';
import { figure, numberOf, pointsOf } from '../../packages/hatchery/src/presets/figure-book.js';

const folder = new URL('../../packages/hatchery/presets/', import.meta.url);
const files = readdirSync(folder);
const read = (file: string): unknown => JSON.parse(readFileSync(new URL(file, folder), 'utf8'));
const shipped = (): ReturnType<typeof parseFigures>[] => [
  parseFigures(read('common.json')),
  parseFigures(read('eastern-oyster.json')),
];
const own = (figures: object[]): object => ({
  format: 'veligrid-figures-1',
  name: 'Seven Creeks',
  title: 'Our house',
  version: '4',
  figures,
});
const mine = { name: 'stocking.umbo.per-ml', value: 6, unit: 'larvae per mL', source: 'our season', confidence: 'own' };

describe('presets that ship', () => {
  it('are the common one and one for each species', () => {
    expect(files.sort()).toEqual(['common.json', 'eastern-oyster.json', 'hard-clam.json', 'pacific-oyster.json']);
  });
  it.each(files)('%s: every figure has a unit, a source and how well it is known', (file) => {
    const { figures, version } = parseFigures(read(file));
    expect(version).toMatch(/^\d+$/);
    for (const { unit, source, confidence } of figures) {
      expect(unit).not.toBe('');
      expect(source).not.toBe('');
      expect(confidence).not.toBe('own');
    }
  });
  it('what is common practice without source is never said to be read', () => {
    for (const file of files) {
      for (const { source, confidence } of parseFigures(read(file)).figures) {
        if (/^common practice, no source$/.test(source)) expect(confidence).not.toMatch(/^read/);
      }
    }
  });
  it('the species know the same figures, but for their last stage', () => {
    const names = ['eastern-oyster', 'pacific-oyster', 'hard-clam'].map((species) =>
      parseFigures(read(`${species}.json`))
        .figures.map(({ name }) => name.replace('pediveliger', 'eyed'))
        .sort(),
    );
    expect(names[1]).toEqual(names[0]);
    expect(names[2]).toEqual(names[0]);
  });
});

describe("a hatchery's own figures", () => {
  it('win over the presets by name, and say so', () => {
    const book = figureBook(shipped(), [parseFigures(own([mine]))]);
    expect(figure(book, 'stocking.umbo.per-ml')).toEqual({ ...mine, preset: 'Seven Creeks', version: '4' });
    expect(numberOf(figure(book, 'stocking.eyed.per-ml'))).toBe(1.5);
  });
  it('may bring algae of their own, and nothing else that is new', () => {
    const alga = { ...mine, name: 'algae.house-brown.organic-weight-pg', value: 25 };
    expect(figureBook(shipped(), [parseFigures(own([alga]))]).get(alga.name)?.value).toBe(25);
    const slip = parseFigures(own([{ ...mine, name: 'stocking.umbo.perMl' }]));
    expect(() => figureBook(shipped(), [slip])).toThrow('There is no figure stocking.umbo.perMl in Seven Creeks');
  });
  it('keep the shape of what they replace', () => {
    const wrong = parseFigures(own([{ ...mine, name: 'growth.fast', value: 5 }]));
    expect(() => figureBook(shipped(), [wrong])).toThrow('has to be points, as in eastern-oyster');
    const right = parseFigures(
      own([
        {
          ...mine,
          name: 'growth.fast',
          value: [
            [1, 60],
            [9, 300],
          ],
        },
      ]),
    );
    expect(pointsOf(figure(figureBook(shipped(), [right]), 'growth.fast'))).toHaveLength(2);
  });
  it.each([
    [{}, 'its format is not "veligrid-figures-1"'],
    [{ ...own([]), version: 4 }, 'name, title or version is missing'],
    [own([{ ...mine, source: '' }]), 'stocking.umbo.per-ml needs a source'],
    [own([{ ...mine, confidence: 'sure' }]), 'must be one of: read; read, second hand; from memory; chosen; own'],
    [own([{ ...mine, value: -1 }]), 'must be a number of 0 or more'],
    [
      own([
        {
          ...mine,
          value: [
            [2, 5],
            [1, 6],
          ],
        },
      ]),
      'must rise',
    ],
    [own([mine, mine]), 'stands in it twice'],
  ])('refuses %#', (file, message) => {
    expect(() => parseFigures(file)).toThrow(message);
  });
});
