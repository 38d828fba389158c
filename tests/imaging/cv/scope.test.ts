import { describe, expect, it } from 'vitest';
import { loadOpenCv } from '../../../packages/imaging/src/cv/load.js';
import type { Mat } from '../../../packages/imaging/src/cv/open-cv.js';
import { inCvScope } from '../../../packages/imaging/src/cv/scope.js';

describe('inCvScope', () => {
  it('frees what was kept when the work is done', () => {
    const kept: Mat[] = [];
    const rows = inCvScope((cv, keep) => {
      kept.push(keep(new cv.Mat(2, 3, cv.CV_8UC1)), keep(new cv.Mat()));
      expect(kept.some((mat) => mat.isDeleted())).toBe(false);
      return kept[0].rows;
    });
    expect(rows).toBe(2);
    expect(kept.map((mat) => mat.isDeleted())).toEqual([true, true]);
  });

  it('frees what was kept when the work throws, and hands the error on', () => {
    const kept: Mat[] = [];
    const fault = new RangeError('no');
    expect(() =>
      inCvScope((cv, keep) => {
        kept.push(keep(new cv.Mat(2, 3, cv.CV_8UC1)));
        throw fault;
      }),
    ).toThrow(fault);
    expect(kept.map((mat) => mat.isDeleted())).toEqual([true]);
  });

  it('turns a failed check of OpenCV into an error with its sentence, and frees', () => {
    const kept: Mat[] = [];
    expect(() => {
      inCvScope((cv, keep) => {
        kept.push(keep(new cv.Mat()), keep(new cv.Mat()));
        cv.GaussianBlur(kept[0], kept[1], new cv.Size(3, 3), 1, 1, cv.BORDER_REPLICATE);
      });
    }).toThrow(/^OpenCV failed: .*!_src\.empty\(\) in function 'GaussianBlur'$/);
    expect(kept.map((mat) => mat.isDeleted())).toEqual([true, true]);
  });

  it('says so when memory runs out, and goes on working', () => {
    const ask = (): void => {
      inCvScope((cv, keep) => keep(new cv.Mat(30_000, 30_000, cv.CV_32FC1)).rows);
    };
    expect(ask).toThrow(/Insufficient memory/);
    expect(inCvScope((cv, keep) => keep(new cv.Mat(4, 4, cv.CV_8UC1)).rows)).toBe(4);
  });

  it('does not grow the memory of OpenCV over 300 scopes of 4 MB, half of which throw', () => {
    const use = (fail: boolean): void => {
      inCvScope((cv, keep) => {
        keep(new cv.Mat(1000, 1000, cv.CV_32FC1));
        if (fail) throw new Error('planned');
      });
    };
    use(false);
    const before = loadOpenCv().HEAPU8.length;
    for (let round = 0; round < 150; round++) {
      use(false);
      expect(() => {
        use(true);
      }).toThrow('planned');
    }
    // 1.2 GB were asked for; a leak would have passed the 1 GiB that OpenCV can have.
    expect(loadOpenCv().HEAPU8.length).toBe(before);
  });
});
