import { describe, expect, it } from 'vitest';
import { loadOpenCv } from '../../../packages/imaging/src/cv/load.js';

describe('loadOpenCv', () => {
  it('loads once and leaves the process listeners as they were', () => {
    const own = (): void => undefined;
    process.on('uncaughtException', own);
    const count = (): number[] => [
      process.listenerCount('uncaughtException'),
      process.listenerCount('unhandledRejection'),
    ];
    const before = count();
    const cv = loadOpenCv();
    expect(count()).toEqual(before);
    expect(process.listeners('uncaughtException')).toContain(own);
    expect(loadOpenCv()).toBe(cv);
    process.removeListener('uncaughtException', own);
  });
});
