import { readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, it } from 'vitest';
import type { JoinedCount, OverlappingPhotos } from '@veligrid/imaging';
import { fillingSummary, fillingText } from '../../../apps/cli/src/count/filling-summary.js';
import { countOf, detectionOf } from '../support/fake-imaging.js';

const text = (path: string): string => readFileSync(new URL(`../../../${path}`, import.meta.url), 'utf8');
const valid = new Ajv2020({ strict: true, strictTypes: false, allErrors: true, allowUnionTypes: true }).compile(
  JSON.parse(text('docs/one-filling.schema.json')) as object,
);
const page = { raster: { width: 81, height: 61, data: new Uint8Array(0) }, page: 3, warnings: [] };

const overlap: OverlappingPhotos = {
  photos: [0, 1],
  map: { a: 1, b: 0, c: -30, d: 0, e: 1, f: 4 },
  marks: 9,
  byChance: 0.02,
  logFalse: -14.26,
  there: 10,
  alike: 9,
  isUnmoved: false,
  shared: 12,
  unpaired: [0, 1],
};

/** Three photos of three larvae each; one larva of the second is a copy. */
function joinedOf(more: Partial<JoinedCount> = {}): JoinedCount {
  const [a, b, c] = ['a.jpg', 'b.jpg', 'c.jpg'].map((photo) => countOf(photo, page));
  if (a === undefined || b === undefined || c === undefined) throw new Error('three names give three counts');
  const copy = { ...detectionOf(1), counted: false, sameAs: { photo: 'a.jpg', id: 'd2' } };
  const second = { ...b, detections: [copy, ...b.detections.slice(1)] };
  return {
    counts: [a, second, c],
    overlaps: [overlap],
    refused: [],
    groups: [[0, 1], [2]],
    counted: 8,
    countedInArea: 8,
    areaMm2: 1.23456789,
    ...more,
  };
}

const codes = (joined: JoinedCount): string[] => fillingSummary(joined).warnings.map(({ code }) => code);

describe('the summary of one filling', () => {
  it('fits its schema, which is the one that ships', () => {
    expect(text('apps/cli/one-filling.schema.json')).toBe(text('docs/one-filling.schema.json'));
    for (const areaMm2 of [1.5, null]) {
      valid(JSON.parse(JSON.stringify(fillingSummary(joinedOf({ areaMm2 })))));
      expect(valid.errors ?? []).toEqual([]);
    }
    valid({ ...fillingSummary(joinedOf()), counted: 1.5 });
    expect(valid.errors?.map(({ instancePath }) => instancePath)).toEqual(['/counted']);
  });

  it('says from which photo how many are counted, and how photos lie on each other', () => {
    const summary = fillingSummary(joinedOf());
    expect(summary.photos).toEqual([
      { photo: 'a.jpg', counted: 3, copies: 0 },
      { photo: 'b.jpg', counted: 2, copies: 1 },
      { photo: 'c.jpg', counted: 3, copies: 0 },
    ]);
    expect(summary.overlaps).toMatchObject([
      { photos: ['a.jpg', 'b.jpg'], turnDeg: 0, middlePx: [10, 34], shared: 12, logFalse: -14.3 },
    ]);
    expect(summary).toMatchObject({ copies: 1, mayBeTwice: 0, areaMm2: 1.234568 });
  });

  it('names photos that hang together with no other', () => {
    const { warnings } = fillingSummary(joinedOf());
    expect(warnings).toHaveLength(1);
    expect(warnings[0]?.code).toBe('photos-not-joined');
    expect(warnings[0]?.message).toMatch(/photo: c\.jpg\. .*counted twice/);
    expect(fillingText(fillingSummary(joinedOf()))).toContain('Warning photos-not-joined: ');
  });

  it('warns of larvae that swam when both photos have some without their like', () => {
    const groups = [[0, 1, 2]];
    const swam = joinedOf({ groups, overlaps: [{ ...overlap, unpaired: [4, 6] }] });
    expect(codes(swam)).toEqual(['moved-between-photos']);
    expect(fillingSummary(swam).mayBeTwice).toBe(4);
    // found in one photo only is missed in the other, and nothing is counted twice
    expect(codes(joinedOf({ groups, overlaps: [{ ...overlap, unpaired: [0, 6] }] }))).toEqual([]);
    // one in a hundred is no swarm
    expect(codes(joinedOf({ groups, overlaps: [{ ...overlap, shared: 100, unpaired: [2, 2] }] }))).toEqual([]);
  });

  it('warns of the same photo twice and of photos that contradict others', () => {
    const groups = [[0, 1, 2]];
    const same = { ...overlap, logFalse: -Infinity, isUnmoved: true };
    expect(codes(joinedOf({ groups, overlaps: [same] }))).toEqual(['same-photo-twice']);
    expect(fillingSummary(joinedOf({ overlaps: [same] })).overlaps[0]?.logFalse).toBeNull();
    expect(codes(joinedOf({ groups, refused: [[1, 2]] }))).toEqual(['photos-contradict']);
  });
});
