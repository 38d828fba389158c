import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fitRules, rulesJson, type Labelled } from '@veligrid/imaging';
import type { Stage } from '@veligrid/model';
import { describe, expect, it } from 'vitest';
import { run } from '../../apps/cli/src/run.js';
import { normalFrom, seededRandom } from '../support/seeded-random.js';
import { countOf, detectionOf } from './support/fake-imaging.js';
import { newFolder } from './support/shell.js';

const STAGES = ['d-larva', 'umbo', 'eyed'] as const;
const MEANS = { 'd-larva': 4.3, umbo: 5, eyed: 5.7 } as const;
const page = { raster: { width: 80, height: 60, data: new Uint8Array(0) }, page: 1, warnings: [] };

/** Larvae told apart by ln length alone, sixty a slide; `growth` is added to all. */
function larvae(slides: number, seed: number, growth: number): Labelled[] {
  const normal = normalFrom(seededRandom(seed));
  return Array.from({ length: 60 * slides }, (_, k): Labelled => {
    const stage = STAGES[k % 3] ?? 'umbo';
    const values = { ln_length: MEANS[stage] + growth + 0.15 * normal(), aspect: 0.9 + 0.05 * normal() };
    return { name: stage, stage, slide: `slide-${String(Math.floor(k / 60))}.jpg`, values };
  });
}

async function veligrid(...args: string[]): Promise<{ code: number; out: string; err: string }> {
  const said = { out: '', err: '' };
  const code = await run(args, {
    out: (words) => (said.out += words),
    err: (words) => (said.err += words),
    errIsTerminal: false,
  });
  return { code, ...said };
}

/** A folder with rules, count files of larvae that grew by 35 %, and corrections that say what `stageOf` answers. */
interface Season {
  readonly folder: string;
  readonly learn: (...more: string[]) => Promise<{ code: number; out: string; err: string }>;
}

function season(stageOf: (one: Labelled, k: number) => Stage, how = 'audit'): Season {
  const folder = newFolder();
  const rules = fitRules(larvae(10, 1, 0), ['ln_length', 'aspect'], {
    version: '1',
    parent: null,
    finderVersion: 'none',
    species: 'eastern-oyster',
    what: 'made up for this test',
  });
  writeFileSync(join(folder, 'rules.json'), rulesJson(rules));
  const grown = larvae(6, 2, 0.35);
  const lines = ['photo,detection_id,stage,how'];
  for (const slide of new Set(grown.map((one) => one.slide))) {
    const own = grown.filter((one) => one.slide === slide);
    const detections = own.map(({ values }, k) => detectionOf(k, { features: values as Record<string, number> }));
    writeFileSync(join(folder, `${slide}.json`), JSON.stringify({ ...countOf(slide, page), detections }));
    own.forEach((one, k) => lines.push(`${slide},d${String(k)},${stageOf(one, k)},${how}`));
  }
  writeFileSync(join(folder, 'checked.csv'), `${lines.join('\n')}\n`);
  const learn: Season['learn'] = (...more) =>
    veligrid(
      ...['learn', '--detections', folder, '--corrections', join(folder, 'checked.csv')],
      ...['--rules', join(folder, 'rules.json'), '--out', join(folder, 'new.json'), ...more],
    );
  return { folder, learn };
}

describe('veligrid learn', () => {
  it('writes rules with their parent, and prints confusion before and after', async () => {
    const { folder, learn } = season(({ stage }) => stage);
    const { code, out, err } = await learn();
    expect([code, err]).toEqual([0, '']);
    const written = JSON.parse(readFileSync(join(folder, 'new.json'), 'utf8')) as Record<string, unknown>;
    expect([written['version'], written['parent']]).toEqual(['1.1', '1']);
    expect(out).toContain('Audited larvae, each judged without its own slide: 360 larvae on 6 slides');
    expect(out).toContain('Before');
    expect(out).toContain('After');
    const table = await veligrid('stages', '--rules', join(folder, 'new.json'));
    expect(table.out).toContain('Stage rules 1.1, learned from 1, eastern-oyster');
    expect(table.out).toMatch(/d-larva \| umbo +\d+ /);
  });

  it('refuses labels by chance with code 4 and writes nothing', async () => {
    const random = seededRandom(9);
    const { folder, learn } = season(() => STAGES[Math.floor(3 * random())] ?? 'umbo');
    const { code, err } = await learn();
    expect(code).toBe(4);
    expect(err).toContain('Refused, rules 1 stay in force');
    expect(() => readFileSync(join(folder, 'new.json'))).toThrow('ENOENT');
  });

  it('refuses to judge by larvae that a person picked', async () => {
    const { learn } = season(({ stage }) => stage, 'chosen');
    const { code, err } = await learn();
    expect(code).toBe(4);
    expect(err).toContain('audit lines on 5 slides are needed, there are 0');
  });

  it.each([
    ['photo,detection_id,stage,how\nslide-0.jpg,d1,larva,audit\n', 'line 2: there is no stage "larva"'],
    ['photo,detection_id,stage,how\nslide-0.jpg,d1,umbo,random\n', 'line 2: how is "random"; write audit'],
    ['photo,detection_id,stage\nslide-0.jpg,d1,umbo\n', 'line 1: the columns how are missing'],
    ['photo,detection_id,stage,how\nslide-0.jpg,d999,umbo,audit\n', 'there is no detection d999 of slide-0.jpg'],
    ['photo,detection_id,stage,how\nslide-0.jpg,d1,umbo,audit\nslide-0.jpg,d1,eyed,audit\n', 'stands in line 2'],
    ['photo,detection_id,stage,how\n', 'holds no line'],
  ])('answers 2 and names the line of %j', async (text, words) => {
    const { folder, learn } = season(({ stage }) => stage);
    writeFileSync(join(folder, 'checked.csv'), text);
    const { code, err } = await learn();
    expect(code).toBe(2);
    expect(err).toContain(words);
  });

  it('answers 2 when two count files are of photos of one name', async () => {
    const { folder, learn } = season(({ stage }) => stage);
    writeFileSync(join(folder, 'again.json'), JSON.stringify(countOf('slide-0.jpg', page)));
    const { code, err } = await learn();
    expect(code).toBe(2);
    expect(err).toContain('two count files of slide-0.jpg');
  });

  it('takes not-larva for a find that is none', async () => {
    const { learn } = season(({ stage }, k) => (k === 0 ? ('not-larva' as Stage) : stage));
    const { code, out } = await learn();
    expect(code).toBe(0);
    expect(out).toMatch(/debris +6 +6 +kept, not used/);
  });
});

describe('veligrid stages', () => {
  it('prints the starting rules with where they come from, a row for every pair of neighbours', async () => {
    const { code, out } = await veligrid('stages');
    expect(code).toBe(0);
    expect(out).toContain('Slides drawn by computer');
    for (const pair of ['egg | fertilised-egg', 'trochophore | d-larva', 'd-larva | umbo', 'umbo | eyed']) {
      expect(out).toContain(pair);
    }
  });

  it('answers 2 for a file that holds no rules', async () => {
    const file = join(newFolder(), 'rules.json');
    writeFileSync(file, '{"format":"other"}');
    const { code, err } = await veligrid('stages', '--rules', file);
    expect([code, err]).toEqual([2, expect.stringContaining('this is no stage rules file')]);
  });
});

describe('veligrid fertilisation', () => {
  it('prints share, limits, minutes and what was taken as fertilised, as words and as JSON', async () => {
    const folder = newFolder();
    const stages: Stage[] = [...Array<Stage>(30).fill('egg'), ...Array<Stage>(270).fill('two-cell')];
    const detections = stages.map((stage, k) => detectionOf(k, { stage }));
    const scale = { umPerPx: 1, source: 'given', relativeStandardUncertainty: 0 } as const;
    writeFileSync(join(folder, 'a.json'), JSON.stringify({ ...countOf('a.jpg', page), scale, detections }));
    const words = await veligrid('fertilisation', folder, '--minutes', '90', '--attached-sperm', '12');
    expect(words.code).toBe(0);
    // Wilson 95 % of 270 in 300: 86.08 to 92.91 %
    expect(words.out).toContain('Fertilised: 90.0 %, 95 % limits 86.1 % to 92.9 %');
    expect(words.out).toContain('90 minutes after fertilisation; taken as fertilised: fertilised-egg, two-cell');
    expect(words.out).toContain('risk of polyspermy');
    expect(words.out).toContain('NOT SIGNED OFF');
    const json = await veligrid('fertilisation', folder, '--minutes', '90', '--json');
    expect(JSON.parse(json.out)).toMatchObject({ minutes: 90, attachedSperm: null, fertilised: { share: 0.9 } });
  });
});
