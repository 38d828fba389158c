import { describe, expect, it } from 'vitest';
import type { ConfirmedCount } from '@veligrid/model';
import { confirm, mergeDecisions, type SignOff } from '@veligrid/review';
import { estimateCount, estimateLengths, handTally, lengthsOf, subsamplesOf, tallyOf } from '@veligrid/estimation';
import { found, photoOf, reviewer } from './support.js';

const photo = 'p.jpg';
const sign: SignOff = { by: 'Ana', at: '2026-06-01T12:00:00Z', countingRule: 'centroid' };
const decide = reviewer('Ana', 9);

describe('a signed-off count', () => {
  const log = [
    decide({ kind: 'relabel', photo, object: 'a', stage: 'd-larva' }),
    decide({ kind: 'relabel', photo, object: 'c', stage: 'bubble' }),
    decide({ kind: 'choose-squares', photo, squares: ['A1'] }),
    decide({ kind: 'reject-photo', photo: 'bad.jpg', reason: 'out of focus' }),
  ];
  const count = confirm([photoOf(photo), photoOf('bad.jpg'), photoOf('r.jpg')], log, sign);

  it('says who, when, by which method, rules, photos, squares and counting rule', () => {
    expect(count).toMatchObject({ ...sign, rulesVersion: '1', decisions: 4 });
    expect(count.photos.map(({ photo: name, squares, method }) => [name, squares, method.finderVersion])).toEqual([
      [photo, ['A1'], '1'],
      ['r.jpg', ['A1', 'B1'], '1'],
    ]);
  });

  it('holds what lies in the chosen squares and is an animal, unsure ones too', () => {
    expect(count.photos[0].objects.map(({ id, stage }) => [id, stage])).toEqual([
      ['a', 'd-larva'],
      ['b', 'unsure'],
    ]);
    expect(tallyOf(count)).toBe(2 + 4);
    expect(tallyOf(count, ({ stage }) => stage === 'd-larva')).toBe(1);
    expect(lengthsOf(count)).toEqual([80, 80, 80, 80, 80, 80]);
  });
});

describe('is refused', () => {
  const photos = [photoOf(photo)];
  it.each([
    [() => confirm(photos, [], { ...sign, by: ' ' }), 'Expected by to be the name of who signs'],
    [() => confirm(photos, [], { ...sign, at: 'today' }), 'Expected at to be a time with zone'],
    [() => confirm([], [], sign), 'No photo is left to sign off.'],
    [
      () => confirm([photoOf(photo), photoOf('q.jpg', undefined, '2')], [], sign),
      'The photos were counted by different versions of method or rules.',
    ],
  ])('%#', (call, message) => {
    expect(call).toThrow(message);
  });
  it('with conflicts between reviewers still open', () => {
    const mine = [reviewer('Ana', 9)({ kind: 'relabel', photo, object: 'a', stage: 'umbo' })];
    const theirs = [reviewer('Ben', 9)({ kind: 'relabel', photo, object: 'a', stage: 'eyed' })];
    const { log, conflicts } = mergeDecisions(photos, [], { mine, theirs });
    expect(() => confirm(photos, log, { ...sign, openConflicts: conflicts })).toThrow(
      '1 conflicts between reviewers are open. Settle them before signing off.',
    );
  });
});

describe('from photos to a total', () => {
  const slide = (name: string, n: number) =>
    photoOf(
      name,
      Array.from({ length: n }, (_, i) => found(`o${i}`, 10 + i, 50)),
    );
  const count = confirm(
    [slide('1a.jpg', 12), slide('1b.jpg', 10), slide('2a.jpg', 14)],
    ['1a.jpg', '1b.jpg', '2a.jpg'].map((name) =>
      reviewer(name, 9)({ kind: 'choose-squares', photo: name, squares: ['A1'] }),
    ),
    sign,
  );

  it('squares give the volume, photos of one filling are added up', () => {
    const subsamples = subsamplesOf(count, {
      fillingOf: (name) => name.slice(0, 1),
      steps: [{ takenMl: 10, madeUpToMl: 20 }],
    });
    const { total, dispersion } = estimateCount({ container: { volumeMl: 100 }, subsamples });
    expect(dispersion.df).toBe(1);
    // 36 in three squares of 1 uL, diluted twofold: 24,000 per mL.
    expect(total.estimate).toBeCloseTo(2_400_000, 3);
  });

  it('by default all photos are one filling, which is told', () => {
    const { warnings } = estimateCount({ container: { volumeMl: 100 }, subsamples: subsamplesOf(count) });
    expect(warnings.map(({ code }) => code)).toContain('one-filling');
  });

  it('whole slides and fields', () => {
    const decide = reviewer('Ana', 9);
    const all = ['1.jpg', '2.jpg'].map((name) => decide({ kind: 'choose-squares', photo: name, squares: null }));
    const whole = confirm([slide('1.jpg', 30), slide('2.jpg', 20)], all, sign);
    expect(subsamplesOf(whole, { wholeSlideMl: 1 }).map(({ volumeMl }) => volumeMl)).toEqual([0.5, 0.5]);
    const field = { kind: 'frame', widthMm: 2, heightMm: 3 } as const;
    expect(subsamplesOf(whole, { field, cell: { depthMm: 1.1 } })[0].volumeMl).toBeCloseTo(0.0066, 12);
    expect(() => subsamplesOf(whole)).toThrow('Expected the squares of 1.jpg to be chosen');
  });

  it('leaves out what can not be measured', () => {
    const cut = confirm([photoOf(photo, [found('a', 20, 20), found('b', 50, 50, ['edge-on'])])], [], sign);
    expect(tallyOf(cut)).toBe(2);
    expect(lengthsOf(cut)).toHaveLength(1);
  });
});

describe('types: nothing unconfirmed becomes an estimate (checked by the compiler)', () => {
  it('an object of the same fields is no confirmed count', () => {
    const plain = { by: 'x', at: 'y', countingRule: 'centroid', rulesVersion: '1', decisions: 0, photos: [] } as const;
    // @ts-expect-error only `confirm` makes a confirmed count
    const forged: ConfirmedCount = plain;
    // @ts-expect-error a photo's count is not confirmed
    expect(() => tallyOf(photoOf(photo))).toThrow();
    expect(forged.by).toBe('x');
  });
  it('a plain number is no tally, and plain numbers are no lengths', () => {
    const detected = photoOf(photo).detections.length;
    // @ts-expect-error a number of detections is nobody's tally
    const estimate = estimateCount({ container: { volumeMl: 1 }, subsamples: [{ count: detected, volumeMl: 1 }] });
    expect(estimate.total.estimate).toBe(5);
    // @ts-expect-error lengths of detections are not confirmed
    expect(estimateLengths([80, 90]).n).toBe(2);
    expect(
      estimateCount({ container: { volumeMl: 1 }, subsamples: [{ count: handTally(5), volumeMl: 1 }] }).total.estimate,
    ).toBe(5);
  });
});
