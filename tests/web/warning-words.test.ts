import { readdirSync, readFileSync } from 'node:fs';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { hasWord, language, namesIn, sayIn } from '../../apps/web/src/words/say.js';
import words from '../../apps/web/src/words/words.json' with { type: 'json' };
import { RESULT_SENTENCES } from '../../apps/server/src/results/result-sentences.js';
import { ESTIMATE_SENTENCES } from '../../packages/estimation/src/warnings.js';
import { RULE_SENTENCES, RULE_SUBJECTS } from '../../packages/hatchery/src/rules/sentences.js';
import { blankWarning } from '../../packages/imaging/src/photo/blank.js';
import { levelWarnings } from '../../packages/imaging/src/photo/decode-sharp.js';
import { calibrationWarnings } from '../../packages/imaging/src/scale/calibration-warnings.js';
import { checkScaleBySizes } from '../../packages/imaging/src/scale/check-scale-by-sizes.js';
import { useCalibration } from '../../packages/imaging/src/scale/use-calibration.js';
import { ageWarnings } from '../../packages/jobs/src/index.js';
import type { Warning } from '../../packages/model/src/index.js';
import { checkNewName, find, type Desk } from '../../packages/season/src/record/desk.js';
import { ISO_FORMATS } from '../../packages/season/src/record/formats.js';
import { Given } from '../../packages/season/src/record/given.js';
import { PLAN_SUBJECTS } from '../../packages/season/src/plan/read-values.js';

// settings of the device are read when the module is loaded
vi.stubGlobal('localStorage', { getItem: () => null });
vi.stubGlobal('navigator', { language: 'en-US', languages: ['en-US'] });
vi.stubGlobal('document', { documentElement: { dataset: {} } });
const { warningWords } = await import('../../apps/web/src/words/warning-words.js');
const { toldWords } = await import('../../apps/web/src/words/read-back.js');

const SENTENCES: Readonly<Record<string, string>> = {
  ...RULE_SENTENCES,
  ...RULE_SUBJECTS,
  ...ESTIMATE_SENTENCES,
  ...RESULT_SENTENCES,
  ...PLAN_SUBJECTS,
};

const namesOf = (text: string): string[] => [...text.matchAll(/\{(\w+)\}/g)].map(([, name = '']) => name);

/** Codes that stand in the sources below a folder, whatever file gives them. */
function codesBelow(folder: string): string[] {
  const root = new URL(`../../${folder}/`, import.meta.url);
  const files = readdirSync(root, { recursive: true, encoding: 'utf8' }).filter((name) => name.endsWith('.ts'));
  const sources = files.map((name) => readFileSync(new URL(name, root), 'utf8'));
  return sources.flatMap((source) => [...source.matchAll(/\bcode: '([a-z0-9-]+)',\s+message/g)].map(([, c = '']) => c));
}

beforeEach(() => {
  language.value = 'es';
});
afterEach(() => {
  language.value = 'en';
});

describe('every warning', () => {
  it.each(Object.entries(SENTENCES))('%s has words, and takes nothing that its sentence has not', (name, sentence) => {
    const word = `warning.${name}`;
    if (!hasWord(word)) throw new Error(`no word for ${word}`);
    expect(namesOf(sentence)).toEqual(expect.arrayContaining(namesIn(word)));
    const values = Object.fromEntries(namesOf(sentence).map((one) => [one, 1]));
    const code = name.split('.')[0] ?? '';
    const told = warningWords({ code, message: 'in English', said: { as: name, values } });
    expect(told).not.toContain('in English');
    expect(told).not.toMatch(/[{}]/);
  });

  it('of photos, calibrations and results has words too', () => {
    const codes = ['packages/imaging/src', 'packages/jobs/src', 'apps/server/src/results'].flatMap(codesBelow);
    expect(new Set(codes).size).toBeGreaterThan(15);
    // said by `veligrid fertilisation` alone
    const ofCommands = ['polar-bodies-not-judged', 'many-unscorable'];
    const known = Object.keys(words).map((word) => word.split('.')[1]);
    expect(codes.filter((code) => !known.includes(code) && !ofCommands.includes(code))).toEqual([]);
  });
});

describe('a warning', () => {
  it('is said in the language on screen, with its numbers as that writes them', () => {
    const warning: Warning = {
      code: 'overstocked',
      message: 'T1 holds 12.5 (11 to 14) per mL ...',
      said: {
        as: 'overstocked',
        values: { tank: 'T1', density: { estimate: 12.5, low: 11, high: 14 }, holds: 1_200_000 },
        of: { as: 'between-days', values: { from: 2, to: 4.5 } },
      },
    };
    expect(warningWords(warning)).toBe(
      `Día 2 a 4,5: ${sayIn('es', 'warning.overstocked', { tank: 'T1', density: '12,5 (de 11 a 14)', holds: '1.200.000' })}`,
    );
    language.value = 'en';
    expect(warningWords(warning)).toMatch(/^Day 2 to 4.5: T1 holds 12.5 \(11 to 14\) per mL/);
  });

  it('without words stays in English, marked as that', () => {
    const warning = { code: 'of-tomorrow', message: 'Something new.' };
    expect(warningWords(warning)).toBe('El servidor dice, en inglés: Something new.');
    language.value = 'en';
    expect(warningWords(warning)).toBe('Something new.');
    const lacking = {
      code: 'overstocked',
      message: 'T1 is full.',
      said: { as: 'overstocked', values: { tank: 'T1' } },
    };
    expect(warningWords(lacking)).toBe('T1 is full.');
  });

  it('of an estimate kept before sentences had names is told by its code', () => {
    const { 'few-counted': message } = ESTIMATE_SENTENCES;
    expect(warningWords({ code: 'few-counted', message })).toBe(sayIn('es', 'warning.few-counted'));
  });

  it('of a photo has in English alone is read back by its sentence', () => {
    const size = { width: 4000, height: 3000 };
    const saved = { name: '10x', umPerPx: 1, relativeStandardUncertainty: 0.01, eyepieceRuler: null };
    const quality = { axisRatio: 1.02, drift: 0.03, bulge: -0.02, lines: 9, residualPx: 0.1, hiddenLines: 0 };
    const hint = { umPerPx: 2, from: 'exif' } as never;
    const raster = { width: 2, height: 2, data: new Uint8Array(12) };
    const given: readonly Warning[] = [
      ...calibrationWarnings({ umPerPx: 1, quality, hint }),
      ...useCalibration({ ...saved, sizePx: [2000, 1500] }, size).warnings,
      ...useCalibration({ ...saved, sizePx: [2000, 2000] }, size).warnings,
      ...levelWarnings(500, 65_535),
      ...blankWarning(raster),
      ...ageWarnings('2025-01-01T00:00:00.000Z', 180, '2026-05-01T00:00:00.000Z'),
      ...[
        checkScaleBySizes({ umPerPx: 30, source: 'given', relativeStandardUncertainty: null }, Array(40).fill(80)),
      ].flatMap((one) => one ?? []),
    ];
    expect(given.map(({ code }) => code)).toEqual([
      'scale-unequal',
      'scale-distorted',
      'scale-distorted',
      'scale-disagrees-with-tag',
      'calibration-resized',
      'calibration-not-used',
      'levels-rescaled',
      'blank-picture',
      'calibration-out-of-date',
      'scale-power-of-ten',
    ]);
    for (const warning of given) expect(warningWords(warning), warning.message).not.toMatch(/en inglés|[{}]/);
    expect(warningWords(given[0] ?? ({} as Warning))).toContain('difiere un 2.0 %');
    expect(warningWords(given[7] ?? ({} as Warning))).toContain('negra');
  });
});

describe('what stands in the way of signing off', () => {
  it('is told in the language on screen', () => {
    expect(toldWords('Not signed off yet: a (1).jpg, b.jpg.')).toBe('Sin firmar aún: a (1).jpg, b.jpg.');
    expect(toldWords('Give the depth of the cell, or the volume on the slide.')).toMatch(/^Dé la profundidad/);
    expect(toldWords('Something else.')).toBe('El servidor dice, en inglés: Something else.');
    language.value = 'en';
    expect(toldWords('Not signed off yet: a.jpg.')).toBe('Not signed off yet: a.jpg.');
  });
});

describe('what is refused', () => {
  const saidBy = async (work: () => unknown): Promise<string> => {
    try {
      await work();
    } catch (error) {
      return toldWords((error as Error).message);
    }
    throw new Error('nothing was refused');
  };
  const given = (texts: Record<string, string>): Given => new Given(new Map(Object.entries(texts)), ISO_FORMATS);
  const tanks = [{ id: '1', name: '1-1', active: true }];
  const desk = { parts: { tanks: { list: () => Promise.resolve(tanks) } } } as unknown as Desk;

  it('is told in Spanish with the names of fields and things', async () => {
    expect(await saidBy(() => given({}).number('number'))).toBe('Falta: Animales.');
    expect(await saidBy(() => given({ number: '-3' }).number('number'))).toBe(
      'Animales: «-3» no vale; se espera un número de 0 o más.',
    );
    expect(await saidBy(() => find(desk, 'tank', '9-9'))).toBe('No hay tanque «9-9». Hay: 1-1.');
    expect(await saidBy(() => checkNewName(desk, 'tank', '1-1'))).toBe(
      'Ya hay tanque con el nombre «1-1». Elija otro.',
    );
    expect(toldWords("This can't have happened: it goes to no tank.")).toBe(
      'Esto no puede haber ocurrido: no va a ningún tanque.',
    );
  });
});
