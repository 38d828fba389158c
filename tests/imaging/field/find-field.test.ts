import { describe, expect, it } from 'vitest';
import type { Raster } from '../../../packages/imaging/src/raster.js';
import { findField } from '../../../packages/imaging/src/field/find-field.js';

const noise = (x: number, y: number): number => (((x * 7919 + y * 104_729) % 101) / 101 - 0.5) * 6;

/** A grey picture from a level at each pixel, with a little noise. */
function draw(width: number, height: number, level: (x: number, y: number) => number): Raster {
  const data = new Uint8Array(width * height * 3);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      data.fill(
        Math.min(255, Math.max(0, Math.round(level(x, y) + noise(x, y)))),
        3 * (y * width + x),
        3 * (y * width + x) + 3,
      );
    }
  }
  return { width, height, data };
}

/** Objects of radius `size` on a lattice. */
const onObject = (x: number, y: number, size: number): boolean =>
  Math.hypot((x % 160) - 80 + ((y / 160) | 0), (y % 160) - 80) < size;

/** A disc of an eyepiece: `inner` in, `outer` out, edge as soft as that of a real one (0.5 % of the radius). */
function eyepiece(
  circle: { x: number; y: number; radius: number },
  inner: (x: number, y: number) => number,
  outer = 4,
) {
  return (x: number, y: number): number => {
    const out = Math.hypot(x - circle.x, y - circle.y) - circle.radius;
    const share = 1 / (1 + Math.exp(out / (0.005 * circle.radius)));
    return outer + share * (inner(x, y) - outer);
  };
}

function expectCircle(raster: Raster, circle: { x: number; y: number; radius: number }): void {
  const field = findField(raster);
  if (field.kind !== 'round') throw new Error('expected a round field');
  const within = 0.01 * circle.radius;
  expect(Math.abs(field.radiusPx - circle.radius)).toBeLessThan(within);
  expect(Math.hypot(field.centrePx[0] - circle.x, field.centrePx[1] - circle.y)).toBeLessThan(within);
}

const light = (x: number, y: number): number => (onObject(x, y, 14) ? 110 : 215);

describe('a round field', () => {
  it('whole, off the middle', () => {
    const circle = { x: 520.3, y: 380.7, radius: 301.5 };
    const raster = draw(1000, 750, eyepiece(circle, light));
    expectCircle(raster, circle);
    expect(findField(raster).ground).toBe('light');
  });

  it.each([
    ['top', { x: 500, y: 250, radius: 380 }],
    ['three sides', { x: 480, y: 370, radius: 420 }],
    ['right, nearly half', { x: 900, y: 380, radius: 340 }],
  ])('cut at the %s', (_, circle) => {
    expectCircle(draw(1000, 750, eyepiece(circle, light)), circle);
  });

  it('with a ghost beside it and larvae on its rim', () => {
    const circle = { x: 560, y: 390, radius: 290 };
    const raster = draw(1000, 750, (x, y) => {
      const rim = Math.hypot(x - 560, y - 100) < 30 || Math.hypot(x - 280, y - 440) < 22;
      const distance = Math.hypot(x - circle.x, y - circle.y) / circle.radius;
      const angle = Math.atan2(y - circle.y, x - circle.x);
      const ghost = Math.abs(angle - 2) < 0.6 ? 110 * Math.exp(-(((distance - 1.07) / 0.025) ** 2) / 2) : 0;
      return eyepiece(circle, () => (rim ? 40 : light(x, y)))(x, y) + (distance > 1 ? ghost : 0);
    });
    expectCircle(raster, circle);
  });

  it('with a dark ground, bright eggs in it', () => {
    const circle = { x: 500, y: 375, radius: 320 };
    const raster = draw(
      1000,
      750,
      eyepiece(circle, (x, y) => (onObject(x, y, 20) ? 180 : 40)),
    );
    expectCircle(raster, circle);
    expect(findField(raster).ground).toBe('dark');
  });
});

describe('a full frame', () => {
  it.each([
    ['light', 200, 120],
    ['dim light', 75, 30],
    ['dark', 8, 190],
    ['hazy dark', 55, 200],
  ])('on a %s ground', (name, ground, object) => {
    const field = findField(draw(900, 700, (x, y) => (onObject(x, y, 25) ? object : ground)));
    expect(field).toEqual({ kind: 'frame', ground: name.includes('dark') ? 'dark' : 'light' });
  });

  it('with large round bright eggs on black is not round', () => {
    const eggs = [
      [250, 200, 110],
      [560, 260, 105],
      [300, 480, 112],
    ];
    const raster = draw(900, 700, (x, y) => (eggs.some(([ex, ey, r]) => Math.hypot(x - ex, y - ey) < r) ? 170 : 5));
    expect(findField(raster)).toEqual({ kind: 'frame', ground: 'dark' });
  });

  it('shaded towards its corners is not round', () => {
    const raster = draw(900, 700, (x, y) => light(x, y) * Math.max(0, 1 - (Math.hypot(x - 450, y - 350) / 600) ** 3));
    expect(findField(raster)).toEqual({ kind: 'frame', ground: 'light' });
  });

  it.each([
    ['black', 0, 'dark'],
    ['white', 252, 'light'],
  ])('all %s', (_, level, ground) => {
    expect(findField(draw(300, 200, () => level))).toEqual({ kind: 'frame', ground });
  });

  it('of the least size', () => {
    expect(findField(draw(16, 16, () => 200))).toEqual({ kind: 'frame', ground: 'light' });
  });
});
