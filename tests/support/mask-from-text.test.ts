import { describe, expect, it } from 'vitest';
import { maskFromText } from './mask-from-text.js';

describe('maskFromText', () => {
  it('reads rows from the top', () => {
    expect(maskFromText('\n  ##.\n  ..#\n')).toEqual({
      width: 3,
      height: 2,
      data: Uint8Array.from([255, 255, 0, 0, 0, 255]),
    });
  });

  it('refuses ragged rows and other signs', () => {
    expect(() => maskFromText('##\n#')).toThrow('rows of one length');
    expect(() => maskFromText('#x')).toThrow('only # and . are allowed');
  });
});
