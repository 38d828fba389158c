import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { calibratePhoto, renderCalibration, type PhotoCalibration } from '@veligrid/imaging';
import type { Raster } from '../../../packages/imaging/src/raster.js';
import { drawnRuler } from '../ruler/drawn-ruler.js';

const png = ({ data, width, height }: Raster): Promise<Buffer> =>
  sharp(data, { raw: { width, height, channels: 3 } })
    .png()
    .toBuffer();

/** Squares with lines 4 px wide, apart by another pitch across than along. */
function squares(across: number, along: number, size = 900): Raster {
  const data = new Uint8Array(size * size * 3);
  for (let y = 0; y < size; y++) {
    for (let x = 0; x < size; x++) {
      const off = Math.min(Math.abs(x - across * Math.round(x / across)), Math.abs(y - along * Math.round(y / along)));
      data.fill(off < 2 ? 90 : 200, 3 * (y * size + x), 3 * (y * size + x) + 3);
    }
  }
  return { width: size, height: size, data };
}

function found(answer: Awaited<ReturnType<typeof calibratePhoto>>): PhotoCalibration {
  if (!answer.found) throw new Error(answer.reason);
  return answer;
}

const codes = ({ warnings }: PhotoCalibration): string[] => warnings.map(({ code }) => code);

describe('calibratePhoto', () => {
  it('takes the scale from a ruler of 10 um a division', async () => {
    const bytes = await png(drawnRuler({ division: 12.5, angle: 0.1 }));
    const calibration = found(await calibratePhoto(bytes, { kind: 'ruler', divisionUm: 10 }));
    expect(Math.abs(calibration.umPerPx / 0.8 - 1)).toBeLessThan(0.001);
    expect(calibration.quality).toMatchObject({ lines: 59, hiddenLines: 0, axisRatio: null });
    expect(calibration.linesPx).toHaveLength(61);
    expect(calibration.eyepieceRuler).toBeNull();
    expect(codes(calibration)).toEqual([]);
    const { relativeStandardUncertainty: plain } = calibration;
    const tolerant = found(await calibratePhoto(bytes, { kind: 'ruler', divisionUm: 10 }, { toleranceUm: 2 }));
    // 58 divisions of 10 um
    expect(tolerant.relativeStandardUncertainty).toBeCloseTo(Math.hypot(plain, 2 / Math.sqrt(3) / 580), 9);
  });

  it('warns of a scale that changes along the ruler', async () => {
    const bytes = await png(drawnRuler({ division: 12, drift: 0.025 }));
    const calibration = found(await calibratePhoto(bytes, { kind: 'ruler', divisionUm: 10 }));
    expect(codes(calibration)).toEqual(['scale-distorted']);
    expect(calibration.warnings[0]?.message).toMatch(/2\.[4-6] %/);
  });

  it('takes a ruler with a line along it for one of the eyepiece', async () => {
    const bytes = await png(drawnRuler({ division: 10.4, crossed: true }));
    const calibration = found(await calibratePhoto(bytes, { kind: 'ruler', divisionUm: 13 }));
    expect(calibration.eyepieceRuler?.divisionUm).toBeCloseTo(13, 9);
    expect(calibration.eyepieceRuler?.divisionPx).toBeCloseTo(10.4, 1);
  });

  it('takes the scale from ruled squares, the same both ways', async () => {
    const calibration = found(await calibratePhoto(await png(squares(151, 151)), { kind: 'grid', pitchUm: 250 }));
    expect(Math.abs((calibration.umPerPx * 151) / 250 - 1)).toBeLessThan(0.002);
    expect(Math.abs((calibration.quality.axisRatio ?? 0) - 1)).toBeLessThan(0.002);
    expect(calibration.quality.residualPx).toBeLessThan(0.5);
    expect(codes(calibration)).toEqual([]);
  });

  it('warns of squares that are 1.3 % longer one way', async () => {
    const calibration = found(await calibratePhoto(await png(squares(150, 152)), { kind: 'grid', pitchUm: 1000 }));
    expect(Math.abs((calibration.quality.axisRatio ?? 0) - 152 / 150)).toBeLessThan(0.003);
    expect(codes(calibration)).toEqual(['scale-unequal']);
  });

  it.each([
    [150, 153],
    [158, 150],
    [150, 165],
  ])('warns of squares of %d by %d px, whose mean scale it gives', async (across, along) => {
    const calibration = found(await calibratePhoto(await png(squares(across, along)), { kind: 'grid', pitchUm: 1000 }));
    expect(calibration.quality.axisRatio).toBeCloseTo(along / across, 3);
    // root of the area of a square
    expect(calibration.umPerPx / (1000 / Math.sqrt(across * along))).toBeCloseTo(1, 3);
    expect(codes(calibration)).toEqual(['scale-unequal']);
  });

  it('refuses two parallel lines, and a picture without a ruler', async () => {
    const two = await calibratePhoto(await png(squares(620, 2000)), { kind: 'grid', pitchUm: 1000 });
    expect(two).toMatchObject({ found: false });
    if (!two.found) expect(two.reason).toMatch(/three are needed|[Ff]ewer than two/);
    const even = await calibratePhoto(await png(drawnRuler({ division: 9, lines: 0 })), {
      kind: 'ruler',
      divisionUm: 10,
    });
    expect(even).toMatchObject({ found: false });
    if (!even.found) expect(even.reason).toMatch(/6 or more.*two points/);
  });

  it('takes two points and their distance', async () => {
    const bytes = await png(drawnRuler({ division: 9, lines: 0 }));
    const target = {
      kind: 'points',
      points: [
        [100, 50],
        [400, 401],
      ],
      distanceUm: 1000,
    } as const;
    const calibration = found(await calibratePhoto(bytes, target));
    expect(calibration.umPerPx).toBeCloseTo(1000 / Math.hypot(300, 351), 12);
    expect(calibration.quality.lines).toBe(2);
    const near = {
      ...target,
      points: [
        [100, 50],
        [160, 50],
      ],
    } as const;
    expect(await calibratePhoto(bytes, near)).toMatchObject({ found: false });
    const outside = {
      ...target,
      points: [
        [100, 50],
        [1400, 50],
      ],
    } as const;
    await expect(calibratePhoto(bytes, outside)).rejects.toThrow('inside the picture of 900 x 420 px');
  });

  it('compares with what the file states', async () => {
    const drawn = drawnRuler({ division: 12.5 });
    const tags = {
      IFD2: { FocalPlaneXResolution: '10000/1', FocalPlaneYResolution: '10000/1', FocalPlaneResolutionUnit: '3' },
    };
    const bytes = await sharp(await png(drawn))
      .withExif(tags)
      .jpeg({ quality: 95 })
      .toBuffer();
    const agreed = found(await calibratePhoto(bytes, { kind: 'ruler', divisionUm: 12.5 }));
    expect([agreed.hint?.umPerPx, codes(agreed)]).toEqual([1, []]);
    const other = found(await calibratePhoto(bytes, { kind: 'ruler', divisionUm: 10 }));
    expect(codes(other)).toEqual(['scale-disagrees-with-tag']);
  });

  it('refuses sizes that can not be', async () => {
    await expect(calibratePhoto(Buffer.alloc(0), { kind: 'ruler', divisionUm: 0 })).rejects.toThrow('divisionUm');
    await expect(calibratePhoto(Buffer.alloc(0), { kind: 'grid', pitchUm: -1 })).rejects.toThrow('pitchUm');
  });

  it('draws the lines on the picture and leaves the rest as it is', async () => {
    const raster = drawnRuler({ division: 12.5 });
    const calibration = found(await calibratePhoto(await png(raster), { kind: 'ruler', divisionUm: 10 }));
    const { data, info } = await sharp(await renderCalibration(raster, calibration))
      .raw()
      .toBuffer({ resolveWithObject: true });
    expect(info.width).toBe(900);
    expect(info.height).toBeGreaterThan(420);
    const coloured = (y: number): number => {
      let count = 0;
      for (let x = 0; x < 900; x++) {
        const at = 3 * (y * 900 + x);
        if (Math.max(...data.subarray(at, at + 3)) - Math.min(...data.subarray(at, at + 3)) > 60) count++;
      }
      return count;
    };
    // strokes beyond the ends of 61 lines about row 209.5, none near the border
    expect(coloured(228)).toBeGreaterThan(40);
    expect(coloured(60)).toBe(0);
  });
});
