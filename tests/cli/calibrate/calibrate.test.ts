import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { Ajv2020 } from 'ajv/dist/2020.js';
import sharp from 'sharp';
import { beforeAll, describe, expect, it } from 'vitest';
import { calibrateCommand, type CalibrateArguments } from '../../../apps/cli/src/calibrate/calibrate-command.js';
import type { CalibrationFile } from '../../../apps/cli/src/calibrate/calibration-file.js';
import { readCalibration } from '../../../apps/cli/src/calibrate/read-calibration.js';
import { run } from '../../../apps/cli/src/run.js';
import { drawnRuler } from '../../imaging/ruler/drawn-ruler.js';
import { newFolder } from '../support/shell.js';

const text = (path: string): string => readFileSync(new URL(`../../../${path}`, import.meta.url), 'utf8');
const valid = new Ajv2020({ strict: true, strictTypes: false, allErrors: true, allowUnionTypes: true }).compile(
  JSON.parse(text('docs/calibration.schema.json')) as object,
);

const folder = newFolder();
const kept = join(folder, 'kept');
const micrometer = join(folder, 'micrometer.png');
const eyepiece = join(folder, 'eyepiece.png');
const blank = join(folder, 'blank.png');

async function draw(path: string, spec: Parameters<typeof drawnRuler>[0]): Promise<void> {
  const { data, width, height } = drawnRuler(spec);
  await sharp(data, { raw: { width, height, channels: 3 } }).toFile(path);
}

beforeAll(async () => {
  await draw(micrometer, { division: 12.5, angle: 0.1 });
  await draw(eyepiece, { division: 10.4, crossed: true });
  await draw(blank, { division: 10, lines: 0 });
});

interface Said {
  out: string;
  err: string;
}

async function calibrate(
  args: Partial<CalibrateArguments>,
  now = '2026-05-04T08:09:10.000Z',
): Promise<Said & { code: number }> {
  const said: Said = { out: '', err: '' };
  const console = {
    out: (part: string) => void (said.out += part),
    err: (part: string) => void (said.err += part),
  };
  const all = { photo: micrometer, validDays: 365, folder: kept, ...args };
  const code = await calibrateCommand(all, console as never, () => new Date(now));
  return { ...said, code };
}

/** The command line as typed. */
async function typed(...args: string[]): Promise<Said & { code: number }> {
  const said: Said = { out: '', err: '' };
  const console = {
    out: (part: string) => void (said.out += part),
    err: (part: string) => void (said.err += part),
  };
  return { code: await run(args, console as never), ...said };
}

describe('veligrid calibrate', () => {
  it('tells scale, uncertainty and lines of a stage micrometer', async () => {
    const { code, out } = await calibrate({ rulerUm: 10 });
    expect(code).toBe(0);
    expect(out).toMatch(/^Scale: 0\.(800\d|799\d)\d? um\/px, standard uncertainty 0\.\d\d %/);
    expect(out).toContain('59 lines of a ruler, 10 um a division');
    expect(out).not.toContain('Saved');
  });

  it('saves a file with name and date that fits the published schema, and keeps earlier ones', async () => {
    const notes = { save: 'bench 4x', microscope: 'by the window', objective: '4x' };
    await calibrate({ rulerUm: 10, ...notes });
    const later = await calibrate({ rulerUm: 20, ...notes }, '2026-06-01T00:00:00.000Z');
    expect(later.out).toContain('--calibration "bench 4x"');
    const names = readdirSync(kept).sort();
    expect(names).toEqual(['bench 4x_2026-05-04_080910.json', 'bench 4x_2026-06-01_000000.json']);
    const files = names.map((name) => JSON.parse(readFileSync(join(kept, name), 'utf8')) as CalibrationFile);
    for (const file of files) {
      valid(file);
      expect(valid.errors).toBeNull();
    }
    expect(files[0]).toMatchObject({
      microscope: 'by the window',
      objective: '4x',
      target: { kind: 'ruler', sizeUm: 10 },
    });
    expect(files[0]?.photo).toEqual({ name: 'micrometer.png', widthPx: 900, heightPx: 420 });
    const now = new Date('2026-06-02T00:00:00Z');
    expect((await readCalibration('bench 4x', kept, now)).umPerPx).toBe(files[1]?.umPerPx);
    expect((await readCalibration(join(kept, names[0] ?? ''), undefined, now)).umPerPx).toBe(files[0]?.umPerPx);
  });

  it('ships the schema with the command', () => {
    expect(text('apps/cli/calibration.schema.json')).toBe(text('docs/calibration.schema.json'));
  });

  it('warns when a calibration is older than it is good for', async () => {
    await calibrate({ rulerUm: 10, save: 'old', validDays: 30 }, '2026-01-01T00:00:00.000Z');
    const codes = async (now: string): Promise<string[]> =>
      ((await readCalibration('old', kept, new Date(now))).warnings ?? []).map(({ code }) => code);
    expect(await codes('2026-01-30T00:00:00Z')).toEqual([]);
    expect(await codes('2026-02-01T00:00:01Z')).toEqual(['calibration-old']);
  });

  it('keeps the ruler of the eyepiece', async () => {
    const { out } = await calibrate({ photo: eyepiece, rulerUm: 13, save: 'phone' });
    expect(out).toMatch(/Ruler in the eyepiece: 10\.\d+ px and 13\.00 um a division/);
    const { eyepieceRuler } = await readCalibration('phone', kept);
    expect(eyepieceRuler?.divisionUm).toBeCloseTo(13, 9);
  });

  it('writes the overlay picture and prints JSON when asked', async () => {
    const out = join(folder, 'check');
    const answer = await calibrate({ rulerUm: 10, out, overlay: true, json: true });
    expect(valid(JSON.parse(answer.out))).toBe(true);
    expect(answer.err).toContain('micrometer.calibration.jpg');
    expect((await sharp(join(out, 'micrometer.calibration.jpg')).metadata()).width).toBe(900);
  });

  it('takes two points', async () => {
    const { out } = await calibrate({ points: [100, 100, 500, 100], distanceUm: 1000 });
    expect(out).toMatch(/^Scale: 2\.5000 um\/px/);
  });

  it('refuses with exit code 4 what it can not rely on, and saves nothing', async () => {
    const answer = await typed('calibrate', blank, '--ruler-um', '10', '--save', 'blank', '--folder', kept);
    expect(answer.code).toBe(4);
    expect(answer.err).toMatch(/No scale was taken from .*blank\.png\. No row of 6 or more/);
    expect(readdirSync(kept).filter((name) => name.startsWith('blank'))).toEqual([]);
  });

  it.each([
    [[], 'exactly one of'],
    [['--ruler-um', '10', '--grid-um', '1000'], 'exactly one of'],
    [['--points', '1,2,3,4'], 'belong together'],
    [['--points', '1,2,3', '--distance-um', '10'], 'four numbers'],
    [['--ruler-um', '0'], 'above 0'],
    [['--ruler-um', '10', '--overlay'], '--overlay needs --out'],
    [['--ruler-um', '10', '--save', '../up'], 'Expected --save to be a name'],
  ])('answers %j with exit code 2 and what to do', async (args, words) => {
    const { code, err } = await typed('calibrate', micrometer, ...args);
    expect([code, err]).toEqual([2, expect.stringContaining(words)]);
  });
});

describe('reading a calibration', () => {
  it('names those there are when there is none of the name', async () => {
    await expect(readCalibration('bench 10x', kept)).rejects.toThrow(
      /No calibration named bench 10x.*There are: .*bench 4x/,
    );
    await expect(readCalibration('bench', join(folder, 'nowhere'))).rejects.toThrow('There are none yet');
  });

  it.each([
    [{}, 'no calibration'],
    [{ umPerPx: -1 }, 'umPerPx'],
    [{ madeAt: 'yesterday' }, 'madeAt'],
    [{ photo: {} }, 'size of its photo'],
    [{ eyepieceRuler: {} }, 'eyepieceRuler'],
  ])('refuses a file that is damaged: %j', async (change, words) => {
    const path = join(folder, 'damaged.json');
    mkdirSync(kept, { recursive: true });
    await calibrate({ rulerUm: 10, save: 'whole' });
    const whole = readdirSync(kept).find((name) => name.startsWith('whole')) ?? '';
    const file = JSON.parse(readFileSync(join(kept, whole), 'utf8')) as object;
    writeFileSync(path, JSON.stringify(Object.keys(change).length === 0 ? {} : { ...file, ...change }));
    await expect(readCalibration(path)).rejects.toThrow(words);
  });

  it('is refused together with a given scale', async () => {
    const { code, err } = await typed('count', micrometer, '--out', folder, '--scale', '1', '--calibration', 'old');
    expect([code, err]).toEqual([2, expect.stringContaining('not both')]);
  });
});
