import { readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, it } from 'vitest';
import { COUNTING_FLAGS, COUNTING_RULES, FLAGS, KINDS, STAGES, type PhotoCount } from '@veligrid/model';
import { countJsonParts } from '../../../apps/cli/src/count/count-json.js';
import { countOf, detectionOf } from '../support/fake-imaging.js';

const text = (path: string): string => readFileSync(new URL(`../../../${path}`, import.meta.url), 'utf8');
const schema = JSON.parse(text('docs/count.schema.json')) as {
  $defs: Record<string, { properties: Record<string, unknown> }>;
};
const countJson = (one: PhotoCount): string => [...countJsonParts(one)].join('');
const valid = new Ajv2020({ strict: true, strictTypes: false, allErrors: true }).compile(schema);

const page = { raster: { width: 80, height: 60, data: new Uint8Array(0) }, page: 2, warnings: [] };
const count = countOf('day1/a.jpg', page);

/** A part of the schema that shows examples. */
interface Shown {
  readonly examples: readonly Readonly<Record<string, unknown>>[];
}

/** What the schema says of a count as it is written. */
function complaints(changed: unknown): string[] {
  valid(JSON.parse(countJson(changed as PhotoCount)));
  return (valid.errors ?? []).map(({ instancePath, keyword }) => `${instancePath} ${keyword}`);
}

describe('the schema of a count file', () => {
  it('is the one that ships with the command', () => {
    expect(text('apps/cli/count.schema.json')).toBe(text('docs/count.schema.json'));
  });

  it('holds a count, with and without scale, grid, round field, timing', () => {
    expect(complaints(count)).toEqual([]);
    const hinge = { xPx: 1, yPx: 2, axisDeg: 3, lengthPx: 4, lengthUm: null };
    const bare = detectionOf(1, {
      ...{
        lengthUm: null,
        lengthStandardUncertaintyUm: null,
        heightUm: null,
        areaUm2: null,
        equivalentDiameterUm: null,
      },
      measures: { ...detectionOf(1).measures, hinge, maxFeretUm: null, minFeretUm: null, perimeterUm: null },
      form: 'normal',
      stageProbabilities: { umbo: 0.8, eyed: 0.2 },
    });
    const corners = [0, 1, 2, 3].map((i) => [i, i] as const);
    const other: PhotoCount = {
      ...count,
      scale: { umPerPx: null, source: 'none', relativeStandardUncertainty: null },
      field: { kind: 'round', ground: 'dark', centrePx: [40, 30], radiusPx: 25 },
      grid: { pitchUm: 1000, rotationDeg: -3.5, squares: [{ name: 'A1', cornersPx: corners }] },
      counting: {
        rule: 'two-sides',
        shape: { kind: 'squares', squares: ['A1'] },
        areaMm2: null,
        marginPx: 12,
        drawnField: '07',
        flags: [],
      },
      detections: [bare, detectionOf(2, { inclusionWeight: null, sameAs: { photo: 'b.jpg', id: '4' } })],
      warnings: [{ code: 'no-scale', message: 'No scale.' }],
      timingMs: { read: 12.5 },
    };
    expect(complaints(other)).toEqual([]);
  });

  it('knows the kinds, stages and flags of the model', () => {
    const { kind, stage, flags } = schema.$defs['detection']?.properties ?? {};
    expect(kind).toEqual({ enum: [...KINDS] });
    expect(stage).toEqual({ enum: [...STAGES] });
    expect(flags).toMatchObject({ items: { enum: [...FLAGS] } });
  });

  it('has examples of sample, probabilities and features that it takes itself', () => {
    const { stageProbabilities, features } = schema.$defs['detection']?.properties as Record<string, Shown>;
    const sample = schema.$defs['sample'] as unknown as Shown;
    for (const example of sample.examples) expect(complaints({ ...count, sample: example })).toEqual([]);
    expect(complaints({ ...count, sample: { ...sample.examples[0], kind: 'frozen' } })).toEqual(['/sample/kind enum']);
    const [probable, numbers] = [stageProbabilities?.examples[0], features?.examples[0]];
    const shown = { ...detectionOf(1), stageProbabilities: probable, features: numbers };
    expect(Object.keys(numbers ?? {})).toContain('ln_length');
    expect(complaints({ ...count, detections: [shown] })).toEqual([]);
  });

  it('knows the rules of the model', () => {
    const { rule, flags } = schema.$defs['counting']?.properties ?? {};
    expect(rule).toMatchObject({ enum: [...COUNTING_RULES] });
    expect(flags).toMatchObject({ items: { enum: [...COUNTING_FLAGS] } });
  });

  it('refuses what is not a count', () => {
    expect(complaints({ ...count, photo: '' })).toEqual(['/photo minLength']);
    expect(complaints({ ...count, scale: { ...count.scale, umPerPx: 0 } })).toEqual([
      '/scale/umPerPx exclusiveMinimum',
    ]);
    expect(complaints({ ...count, detections: [{ ...detectionOf(1), kind: 'prawn' }] })).toEqual([
      '/detections/0/kind enum',
    ]);
    expect(complaints({ ...count, detections: [{ ...detectionOf(1), extra: 1 }] })).toEqual([
      '/detections/0 additionalProperties',
    ]);
    expect(complaints({ ...count, warnings: [{ code: 'No Scale', message: 'x' }] })).toEqual([
      '/warnings/0/code pattern',
    ]);
  });
});

describe('the text of a count file', () => {
  it('is the count, one line a detection', () => {
    const written = countJson(count);
    expect(JSON.parse(written)).toEqual(count);
    expect(written.split('\n').filter((line) => line.startsWith('    {"id"'))).toHaveLength(4);
    expect(JSON.parse(countJson({ ...count, detections: [] }))).toEqual({ ...count, detections: [] });
  });

  it('is whole when thousands of detections come in several parts', () => {
    const many = { ...count, detections: Array.from({ length: 1001 }, (_, k) => detectionOf(k + 1)) };
    const written = countJson(many);
    expect(JSON.parse(written)).toEqual(many);
    expect(written.split('\n').filter((line) => line.startsWith('    {"id"'))).toHaveLength(1001);
  });

  it('refuses numbers that are not finite', () => {
    expect(() => countJson({ ...count, detections: [detectionOf(1, { x: Number.NaN })] })).toThrow('not finite: x');
  });
});
