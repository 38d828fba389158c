import { brotliDecompressSync, deflateRawSync } from 'node:zlib';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { canonicalJson } from '../../packages/storage/src/columns.js';
import { packCount, unpackCount, unpackedText } from '../../packages/storage/src/parts/packed-count.js';
import { countOf } from './count-example.js';

const turned = (value: unknown): unknown => {
  if (typeof value !== 'object' || value === null) return value;
  if (Array.isArray(value)) return value.map(turned);
  return Object.fromEntries(
    Object.entries(value)
      .reverse()
      .map(([key, one]) => [key, turned(one)]),
  );
};

describe('canonical JSON', () => {
  it('says the same content whatever order the keys were given in', () => {
    fc.assert(
      fc.property(fc.jsonValue(), (value) => {
        const text = canonicalJson(value);
        expect(canonicalJson(turned(value))).toBe(text);
        expect(JSON.parse(text)).toEqual(JSON.parse(JSON.stringify(value)));
      }),
      { numRuns: 500 },
    );
  });

  it('puts keys in order at every depth, also below lists of lists, and leaves out what is undefined', () => {
    expect(canonicalJson([[{ b: 1, a: [{ d: 2, c: 3 }] }], 4, { f: undefined, e: null }])).toBe(
      '[[{"a":[{"c":3,"d":2}],"b":1}],4,{"e":null}]',
    );
  });

  it('keeps a key that JavaScript means something by', () => {
    expect(canonicalJson(JSON.parse('{"__proto__":{"b":1,"a":2}}'))).toBe('{"__proto__":{"a":2,"b":1}}');
  });
});

describe('a packed count', () => {
  const count = countOf('photo-1');

  it('comes back, and any Brotli program can unpack it', () => {
    const packed = packCount(count);
    expect(unpackCount(packed, 'photo-1')).toEqual(count);
    expect(JSON.parse(brotliDecompressSync(packed.payload).toString('utf8'))).toEqual(count);
  });

  it('comes back when deflate packed it, as the first stores did', () => {
    const { sha256 } = packCount(count);
    const payload = deflateRawSync(canonicalJson(count), { level: 1 });
    expect(unpackCount({ sha256, payload }, 'photo-1')).toEqual(count);
  });

  it('is refused when a byte has changed', () => {
    const { sha256, payload } = packCount(count);
    const damaged = Uint8Array.from(payload);
    damaged[payload.length >> 1] = (damaged[payload.length >> 1] ?? 0) ^ 1;
    expect(unpackedText({ sha256, payload: damaged })).toBeNull();
    expect(() => unpackCount({ sha256, payload: damaged }, 'photo-1')).toThrow('restore a backup');
  });
});
