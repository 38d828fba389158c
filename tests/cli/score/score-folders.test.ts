import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';
import { run } from '../../../apps/cli/src/run.js';
import { scoreFolders, type Report } from '../../../apps/cli/src/score/score-folders.js';
import type { Agreement } from '../../../apps/cli/src/score/tally.js';
import { countJsonParts } from '../../../apps/cli/src/count/count-json.js';
import { countOf, detectionOf } from '../support/fake-imaging.js';
import { newFolder } from '../support/shell.js';

const fixture = (name: string): string => fileURLToPath(new URL(`../fixtures/score/${name}`, import.meta.url));

/** Our name of each figure of the independent scorer, whose answer lies in fixtures/score/score.json. */
const THEIRS: Readonly<Partial<Record<keyof Agreement, string>>> = {
  photos: 'images',
  missing: 'missing_predictions',
  found: 'tp',
  falseFinds: 'fp',
  precision: 'precision',
  recall: 'recall',
  f1: 'f1',
  countErrorPct: 'count_error_pct_mean_signed',
  absCountErrorPct: 'count_error_pct_mean_abs',
  lengthBiasPct: 'length_bias_pct',
  lengthMaePct: 'length_mae_pct',
  meanOverlap: 'mask_iou_mean',
  scaleErrorPct: 'calibration_error_pct_mean_abs',
  falseFindsPerPhoto: 'fp_per_image',
};

describe('agreement with drawn truth', () => {
  const theirs = JSON.parse(readFileSync(fixture('score.json'), 'utf8')) as Record<
    string,
    Record<string, number | null>
  >;

  let report: Report;

  beforeAll(async () => {
    report = await scoreFolders(fixture('counts'), fixture('truth'));
  });

  it.each(['calibration', 'dirty', 'empty', 'eyed', 'phone', 'ALL'])(
    'of %s is that of the independent scorer',
    (group) => {
      const { groups, all } = report;
      expect(groups.map(([name]) => name)).toEqual(['calibration', 'dirty', 'empty', 'eyed', 'phone']);
      const ours = group === 'ALL' ? all : groups.find(([name]) => name === group)?.[1];
      for (const [name, key] of Object.entries(THEIRS)) {
        const expected = theirs[group]?.[key] ?? null;
        const value = ours?.[name as keyof Agreement] ?? null;
        // three decimals
        expect(value, name).toEqual(expected === null ? null : expect.closeTo(expected, 3));
      }
    },
  );
});

describe('agreement with a count confirmed by hand', () => {
  const page = { raster: { width: 800, height: 60, data: new Uint8Array(0) }, page: 4, warnings: [] };
  const truth = countOf('a.jpg', page);

  function folders(prediction: object | null): [string, string] {
    const folder = newFolder();
    for (const name of ['truth/tank4', 'counts']) mkdirSync(join(folder, name), { recursive: true });
    writeFileSync(join(folder, 'truth/tank4/a.json'), [...countJsonParts(truth)].join(''));
    if (prediction !== null) writeFileSync(join(folder, 'counts/a.json'), JSON.stringify(prediction));
    return [join(folder, 'counts'), join(folder, 'truth')];
  }

  it('is full when they are the same', async () => {
    const { groups, all } = await scoreFolders(...folders(truth));
    expect(groups.map(([name]) => name)).toEqual(['tank4']);
    expect(all).toMatchObject({
      photos: 1,
      truth: 4,
      found: 4,
      f1: 1,
      countErrorPct: 0,
      lengthMaePct: 0,
      meanOverlap: 1,
    });
  });

  it('counts one missed, one false and lengths 5 % long', async () => {
    const kept = truth.detections.slice(0, 3).map((one) => ({ ...one, lengthUm: 1.05 * (one.lengthUm ?? 0) }));
    const { all } = await scoreFolders(...folders({ ...truth, detections: [...kept, detectionOf(60)] }));
    expect(all).toMatchObject({ truth: 4, found: 3, falseFinds: 1, precision: 0.75, recall: 0.75, countErrorPct: 0 });
    expect(all.lengthBiasPct).toBeCloseTo(5, 9);
  });

  it('takes a photo without a count file as nothing found', async () => {
    const { all } = await scoreFolders(...folders(null));
    expect(all).toMatchObject({ photos: 1, missing: 1, found: 0, recall: 0, countErrorPct: -100 });
  });
});

describe('veligrid score', () => {
  it('prints a row a group and says how many photos have no count', async () => {
    const said = { out: '', err: '' };
    const code = await run(['score', fixture('counts'), fixture('truth')], {
      out: (text) => (said.out += text),
      err: (text) => (said.err += text),
      errIsTerminal: false,
    });
    expect(code).toBe(0);
    expect(said.out).toMatch(/^dirty +1 +36 +31 +0\.861 +0\.861 +0\.861 +0\.00 /m);
    expect(said.out).toMatch(/^all +6 /m);
    expect(said.err).toBe('1 of 6 photos have no count file and count as nothing found.\n');
  });

  it.each([
    ['truth.json', 'not JSON', /truth\.json is not valid JSON\. Write it again, or remove it\./],
    ['truth.json', '{"a": 1}', /No truth found in .+\. Name a folder of confirmed count files\./],
  ])('refuses %s holding %s', async (name, content, words) => {
    const folder = newFolder();
    writeFileSync(join(folder, name), content);
    await expect(scoreFolders(fixture('counts'), folder)).rejects.toThrow(words);
  });
});
