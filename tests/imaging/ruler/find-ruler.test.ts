import { describe, expect, it } from 'vitest';
import { findRuler, type NoRuler, type RulerFit } from '../../../packages/imaging/src/ruler/find-ruler.js';
import { shrunkRuler } from '../../../packages/imaging/src/ruler/shrunk-ruler.js';
import { drawnRuler, drawnRulers, type RulerSpec } from './drawn-ruler.js';

const frame = { kind: 'frame', ground: 'light' } as const;
const find = (spec: RulerSpec): RulerFit | NoRuler => findRuler(drawnRuler(spec), frame);

function found(answer: RulerFit | NoRuler): RulerFit {
  if (!answer.found) throw new Error(answer.reason);
  return answer;
}

describe('findRuler', () => {
  it.each([
    { division: 3.3, angle: 0.1, lineWidth: 1.2 },
    { division: 7.31, angle: -0.2 },
    { division: 12.74, angle: 0.6, height: 600 },
    { division: 12.74, angle: 1.4, width: 420, height: 900 },
    { division: 13.4, angle: 0, lineWidth: 3 },
  ])('finds $division px a division at $angle rad, within 0.1 %', (spec) => {
    const ruler = found(find(spec));
    expect(Math.abs(ruler.divisionPx / spec.division - 1)).toBeLessThan(0.001);
    expect(ruler.pattern).toBe('tens');
    expect(ruler.crossed).toBe(false);
    expect(ruler.lines + ruler.hiddenLines).toBe(59);
    expect(Math.abs((ruler.directionDeg * Math.PI) / 180 - spec.angle)).toBeLessThan(0.01);
    expect(ruler.residualPx).toBeLessThan(0.15);
  });

  it('finds a pale ruler with a line along it under larvae, and says what is hidden', () => {
    const discs = [-300, -190, 40, 250].map((x) => [450 + x, 210 + x * Math.tan(0.2), 24] as const);
    const ruler = found(find({ division: 10.2, angle: 0.2, crossed: true, ink: 170, halves: [8, 12, 22], discs }));
    expect(Math.abs(ruler.divisionPx / 10.2 - 1)).toBeLessThan(0.003);
    expect(ruler.crossed).toBe(true);
    expect(ruler.hiddenLines).toBeGreaterThanOrEqual(8);
  });

  it('finds bright lines on black', () => {
    const ruler = found(find({ division: 9.6, ground: 20, ink: 190 }));
    expect(Math.abs(ruler.divisionPx / 9.6 - 1)).toBeLessThan(0.001);
    expect(ruler.pattern).toBe('tens');
  });

  it('draws each line where it lies, longer ones longer', () => {
    const ruler = found(find({ division: 12, angle: 0 }));
    const [[x1, y1], [x2, y2]] = ruler.linesPx.reduce((one, other) =>
      other[1][1] - other[0][1] > one[1][1] - one[0][1] ? other : one,
    );
    // lines of ten stand 120 px apart, one of them in the middle, x = 449.5
    expect(Math.abs((x1 - 449.5) / 120 - Math.round((x1 - 449.5) / 120)) * 120).toBeLessThan(0.5);
    expect(Math.abs(x1 - x2)).toBeLessThan(1);
    expect(Math.abs(y2 - y1 - 57)).toBeLessThan(4);
  });

  it('reports how the division changes along the ruler', () => {
    const ruler = found(find({ division: 12, drift: 0.02 }));
    expect(Math.abs(ruler.drift - 0.02)).toBeLessThan(0.002);
    expect(Math.abs(found(find({ division: 12 })).drift)).toBeLessThan(0.001);
  });

  it.each([0, 0.15, 0.3, 0.45, 0.6, 0.8])(
    'never takes every second line where the others have %f of the ink',
    (oddShare) => {
      // lines of five are odd as well, so a division twice as long would show lines longer every ten lines of its own
      const answer = findRuler(drawnRuler({ division: 8, oddShare, halves: [14, 14, 14] }), frame, { told: true });
      const division = oddShare === 0 ? 16 : 8;
      if (answer.found) expect(Math.abs(answer.divisionPx / division - 1)).toBeLessThan(0.005);
    },
  );

  it('does not take the lines of five for the division where these are much longer', () => {
    const answer = findRuler(drawnRuler({ division: 9, halves: [6, 60, 60] }), frame, { told: true });
    if (answer.found) expect(Math.abs(answer.divisionPx / 9 - 1)).toBeLessThan(0.005);
  });

  it('refuses lines that are not evenly spaced', () => {
    expect(find({ division: 14, jitter: 2.6 }).found).toBe(false);
  });

  it('refuses two rulers with different divisions', () => {
    const both = drawnRulers([
      { division: 12, moved: -80 },
      { division: 9, moved: 80 },
    ]);
    const answer = findRuler(both, frame);
    expect(answer).toMatchObject({ found: false });
    if (!answer.found) expect(answer.reason).toMatch(/Two rulers.*(9|12)\.0\d+ px and (9|12)\.0\d+ px/);
  });

  it('finds none on even ground, on long lines, or on a few', () => {
    for (const raster of [
      drawnRuler({ division: 12, lines: 0 }),
      drawnRuler({ division: 12, lines: 2 }),
      drawnRuler({ division: 150, lines: 9, halves: [400, 400, 400] }),
    ]) {
      expect(findRuler(raster, frame)).toMatchObject({
        found: false,
        reason: expect.stringContaining('12 or more') as string,
      });
    }
  });

  it('needs fewer lines when somebody says that there is a ruler, and finds far lines in a smaller copy', () => {
    const few = drawnRuler({ division: 30, lines: 9, halves: [30, 30, 30] });
    expect(findRuler(few, frame).found).toBe(false);
    const answer = found(findRuler(few, frame, { told: true }));
    expect(Math.abs(answer.divisionPx / 30 - 1)).toBeLessThan(3 * answer.relativeStandardUncertainty);
    expect(answer.relativeStandardUncertainty).toBeLessThan(0.012);
    const far = drawnRuler({ division: 105.5, lines: 9, halves: [80, 80, 80], lineWidth: 8, width: 1000 });
    const shrunk = found(shrunkRuler(far, frame));
    expect(Math.abs(shrunk.divisionPx / 105.5 - 1)).toBeLessThan(0.003);
  });

  it('keeps to the field', () => {
    const round = { kind: 'round', ground: 'light', centrePx: [200, 210], radiusPx: 190 } as const;
    const ruler = findRuler(drawnRuler({ division: 9, lines: 81 }), round);
    const xs = ruler.found ? ruler.linesPx.map(([[x]]) => x) : [];
    expect(ruler.found).toBe(true);
    expect(Math.max(...xs)).toBeLessThan(392);
  });
});
