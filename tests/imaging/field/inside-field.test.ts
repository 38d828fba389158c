import { expect, it } from 'vitest';
import { insideField } from '../../../packages/imaging/src/field/inside-field.js';

it('is everywhere in a full frame, and on and inside the circle of a round one', () => {
  expect(insideField({ kind: 'frame', ground: 'light' }, -5, 9000)).toBe(true);
  const round = { kind: 'round', ground: 'light', centrePx: [10, 20], radiusPx: 5 } as const;
  expect(insideField(round, 10, 20)).toBe(true);
  // 3-4-5 triangle: exactly on the circle
  expect(insideField(round, 13, 24)).toBe(true);
  expect(insideField(round, 14, 24)).toBe(false);
});
