import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import type { Detection, PhotoCount, Square } from '@veligrid/model';
import { ruleWords } from '../../../packages/imaging/src/photo/overlay-area.js';
import { barLengthUm, drawOverlay } from '../../../packages/imaging/src/photo/overlay-drawing.js';
import { STAGE_MARKS } from '../../../packages/model/src/index.js';
import { standingOf } from '../../../packages/imaging/src/photo/overlay-marks.js';
import { renderOverlay } from '../../../packages/imaging/src/photo/render-overlay.js';
import { textPath, textWidth } from '../../../packages/imaging/src/photo/stroke-letters.js';

/** A square outline of 100 px about (200, 150), which is all of a detection that a drawing looks at. */
function square(stage: Detection['stage'], more: Partial<Detection> = {}): Detection {
  const outline = [
    [150, 100],
    [250, 100],
    [250, 200],
    [150, 200],
  ];
  return { id: 'd7', x: 200, y: 150, outline, stage, counted: true, flags: [], ...more } as unknown as Detection;
}

function countOf(detections: Detection[], umPerPx: number | null = 2): PhotoCount {
  const scale = { umPerPx, source: 'given', relativeStandardUncertainty: 0 };
  const shape = { kind: 'field', boxPx: [20, 30, 380, 270] };
  const counting = { rule: 'centroid', shape, areaMm2: 0.3456, marginPx: 19, drawnField: null, flags: [] };
  return {
    scale,
    field: { kind: 'frame', ground: 'light' },
    grid: null,
    counting,
    detections,
  } as unknown as PhotoCount;
}

const sheet = { width: 400, height: 300, scale: 1 };

describe('the picture of a count', () => {
  it('shows the outline in the colour of its stage, and the photo elsewhere', async () => {
    const raster = { width: 400, height: 300, data: new Uint8Array(400 * 300 * 3).fill(120) };
    const jpeg = await renderOverlay(raster, countOf([square('umbo')]), { quality: 100 });
    const { data, info } = await sharp(jpeg).raw().toBuffer({ resolveWithObject: true });
    const at = (x: number, y: number): number[] => [
      ...data.subarray(3 * (y * info.width + x), 3 * (y * info.width + x) + 3),
    ];
    expect(info.width).toBe(400);
    expect(info.height).toBeGreaterThan(300);
    // #0072b2 within what JPEG and a soft line edge change
    const [r, g, b] = at(150, 130);
    expect(r).toBeLessThan(80);
    expect(Math.abs(g - 0x72)).toBeLessThan(50);
    expect(Math.abs(b - 0xb2)).toBeLessThan(50);
    at(200, 150).forEach((value) => {
      expect(Math.abs(value - 120)).toBeLessThanOrEqual(3);
    });
    // the legend stands on white below the photo
    expect(at(398, info.height - 2)).toEqual([255, 255, 255]);
  });

  it('shrinks a large photo and draws in the same place', async () => {
    const raster = { width: 400, height: 300, data: new Uint8Array(400 * 300 * 3).fill(120) };
    const jpeg = await renderOverlay(raster, countOf([square('egg')]), { longSidePx: 200, quality: 100 });
    const { data, info } = await sharp(jpeg).raw().toBuffer({ resolveWithObject: true });
    expect(info.width).toBe(200);
    const blueAt = (x: number, y: number): number => data[3 * (y * info.width + x) + 2];
    expect(blueAt(75, 65)).toBeLessThan(80);
    expect(Math.abs(blueAt(100, 75) - 120)).toBeLessThanOrEqual(3);
  });

  it('dashes what is left out of length figures and dots what is not counted', () => {
    const dashes = (detection: Detection): number =>
      [
        ...drawOverlay(countOf([detection]), sheet).svg.matchAll(
          /Z" stroke="#[0-9a-f]{6}" stroke-width="[\d.]+" stroke-dasharray/g,
        ),
      ].length;
    expect(dashes(square('egg'))).toBe(0);
    expect(dashes(square('egg', { flags: ['touching'] }))).toBe(0);
    expect(dashes(square('egg', { flags: ['out-of-focus'] }))).toBe(1);
    expect(dashes(square('bubble', { counted: false }))).toBe(1);
  });

  it('lays a dark line under pale colours and a white one under dark colours', () => {
    const below = (stage: Detection['stage']): string[] =>
      [...drawOverlay(countOf([square(stage)]), sheet).svg.matchAll(/stroke="(#[0-9a-f]+)" stroke-opacity/g)].map(
        ([, colour]) => colour ?? '',
      );
    // outline and letters each
    for (const stage of ['egg', 'two-cell', 'd-larva'] as const) expect(below(stage)).toEqual(['#222', '#222']);
    for (const stage of ['umbo', 'eyed', 'dead', 'debris'] as const) expect(below(stage)).toEqual(['#fff', '#fff']);
  });

  it('draws squares and the round field', () => {
    const corner = [
      [10, 10],
      [60, 10],
      [60, 60],
      [10, 60],
    ] as const;
    const count: PhotoCount = {
      ...countOf([]),
      grid: { pitchUm: 1000, rotationDeg: 0, squares: [{ name: 'A1', cornersPx: corner }] },
      field: { kind: 'round', ground: 'light', centrePx: [199.5, 149.5], radiusPx: 120 },
    };
    const { svg } = drawOverlay(count, sheet);
    // pixel centres at integers: corner (10, 10) lies half a pixel inside the drawing's pixel 10
    expect(svg).toContain('M10.5 10.5L60.5 10.5L60.5 60.5L10.5 60.5Z');
    expect(svg).toContain('<circle cx="200.0" cy="150.0" r="120.0"');
  });

  it('draws the counted area, dashed where the rule of two sides leaves out, and writes the rule below', () => {
    const left =
      /<path d="M20\.5 270\.5L20\.5 30\.5L380\.5 30\.5" stroke="#7b3294" stroke-width="[\d.]+"( stroke-dasharray)?/;
    const right =
      /<path d="M380\.5 30\.5L380\.5 270\.5L20\.5 270\.5" stroke="#7b3294" stroke-width="[\d.]+"( stroke-dasharray)?/;
    const count = countOf([square('egg', { inArea: true }), square('egg', { inArea: false })]);
    expect(left.exec(drawOverlay(count, sheet).svg)?.[1]).toBeUndefined();
    const bySides: PhotoCount = { ...count, counting: { ...count.counting, rule: 'two-sides' } };
    expect(left.exec(drawOverlay(bySides, sheet).svg)?.[1]).toBeDefined();
    expect(right.exec(drawOverlay(bySides, sheet).svg)).not.toBeNull();
    expect(right.exec(drawOverlay(bySides, sheet).svg)?.[1]).toBeUndefined();
    expect(ruleWords(count)).toBe('counted area of 0.35 mm2: 1 by centroid rule');
    expect(ruleWords(bySides)).toBe('counted area of 0.35 mm2: 1 by two-sides rule');
  });

  it('draws only the squares that are counted, and the circle of a round area', () => {
    const squareAt = (name: string, x: number): Square => ({
      name,
      cornersPx: [
        [x, 50],
        [x + 100, 50],
        [x + 100, 150],
        [x, 150],
      ],
    });
    const grid = { pitchUm: 1000, rotationDeg: 0, squares: [squareAt('A1', 0), squareAt('B1', 100)] };
    const base = countOf([]);
    const bySquares: PhotoCount = {
      ...base,
      grid,
      counting: { ...base.counting, shape: { kind: 'squares', squares: ['B1'] } },
    };
    const { svg } = drawOverlay(bySquares, sheet);
    expect(svg).toContain('<path d="M100.5 150.5L100.5 50.5L200.5 50.5" stroke="#7b3294"');
    expect(svg).not.toContain('<path d="M0.5 150.5L0.5 50.5L100.5 50.5" stroke="#7b3294"');
    const circle = { centrePx: [199.5, 149.5] as const, radiusPx: 90 };
    const round: PhotoCount = {
      ...base,
      counting: { ...base.counting, shape: { kind: 'field', boxPx: [0, 0, 399, 299], circle } },
    };
    expect(drawOverlay(round, sheet).svg).toContain('<circle cx="200.0" cy="150.0" r="90.0" stroke="#7b3294"');
  });

  it('gives the scale bar its length on the photo', () => {
    // 400 px at 2 um are 800 um; a fifth is 160, so the bar is 100 um: 50 px
    const [, left, right] = /d="M([\d.]+) [\d.]+H([\d.]+)"/.exec(drawOverlay(countOf([]), sheet).svg) ?? [];
    expect(Number(right) - Number(left)).toBeCloseTo(50, 1);
    expect(drawOverlay(countOf([], null), sheet).svg).not.toMatch(/d="M[\d.]+ [\d.]+H/);
  });

  it.each([
    [160, 100],
    [199, 100],
    [200, 200],
    [500, 500],
    [0.7, 0.5],
    [4999, 2000],
  ])('has a round bar for %d um', (room, bar) => {
    expect(barLengthUm(room)).toBeCloseTo(bar, 9);
  });
});

describe('standing and marks', () => {
  it('leaves edge-on, cut and out-of-focus objects out of length figures', () => {
    expect(standingOf({ counted: true, flags: ['on-line', 'touching', 'gaping'] })).toBe('measured');
    expect(standingOf({ counted: true, flags: ['edge-on'] })).toBe('counted-only');
    expect(standingOf({ counted: false, flags: ['cut'] })).toBe('not-counted');
  });

  it('gives each stage a sign of its own, so that colour is never the only one', () => {
    const marks = Object.values(STAGE_MARKS);
    expect(new Set(marks.map((mark) => mark.sign)).size).toBe(marks.length);
    for (const { sign } of marks) expect(textPath(sign, 0, 0, 6)).not.toBe('');
  });
});

describe('stroke letters', () => {
  it('stand on their grid', () => {
    // an L 6 high: down the left, then along the foot to the right
    expect(textPath('L', 10, 20, 6)).toBe('M10.0 20.0L10.0 26.0L14.0 26.0');
    expect(textPath('l', 10, 20, 6)).toBe(textPath('L', 10, 20, 6));
    expect(textPath('!', 0, 0, 6)).toBe('');
  });

  it('take six steps each, less the last gap', () => {
    expect(textWidth('', 6)).toBe(0);
    expect(textWidth('L', 6)).toBe(4);
    expect(textWidth('L12', 12)).toBe(32);
  });

  it('have a form for everything written on a picture', () => {
    for (const letter of 'abcdefghijklmnopqrstuvwxyz0123456789-µ.') expect(textPath(letter, 0, 0, 6)).not.toBe('');
  });
});
