import { expect, it } from 'vitest';
import { readHeic, type HeicImages } from '../../../packages/imaging/src/photo/read-heic.js';

/** A decoder of the optional package's form that holds one picture of 2 x 1 px. */
function decoderOf(log: string[]): { all: () => Promise<HeicImages> } {
  const rgba = new Uint8ClampedArray([10, 20, 30, 255, 40, 50, 60, 255]);
  const image = {
    width: 2,
    height: 1,
    decode: () => {
      log.push('decode');
      return Promise.resolve({ width: 2, height: 1, data: rgba });
    },
  };
  const dispose = (): void => {
    log.push('dispose');
  };
  return { all: () => Promise.resolve(Object.assign([image], { dispose })) };
}

it('gives red, green, blue and frees the file', async () => {
  const log: string[] = [];
  const raster = await readHeic(decoderOf(log), new Uint8Array(0), () => log.push('size'));
  expect(raster).toEqual({ width: 2, height: 1, data: new Uint8Array([10, 20, 30, 40, 50, 60]) });
  expect(log).toEqual(['size', 'decode', 'dispose']);
});

it('refuses a size before decoding, and frees the file', async () => {
  const log: string[] = [];
  const refuse = (): never => {
    throw new Error('too large');
  };
  await expect(readHeic(decoderOf(log), new Uint8Array(0), refuse)).rejects.toThrow('too large');
  expect(log).toEqual(['dispose']);
});
