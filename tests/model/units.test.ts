import { describe, expect, it } from 'vitest';
import { micrometresPerPixel, pixels, toMicrometres } from '@veligrid/model';

describe('toMicrometres', () => {
  it('multiplies 40 px by 2.5 um/px to 100 um', () => {
    expect(toMicrometres(pixels(40), micrometresPerPixel(2.5))).toBe(100);
  });
});
