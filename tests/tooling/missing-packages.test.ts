import { describe, expect, it } from 'vitest';
import { missingPackages } from '../../tools/missing-packages.mjs';

const wanted = {
  packages: {
    '': { version: '0.1.0' },
    'packages/model': { version: '0.1.0' },
    'node_modules/@veligrid/model': {},
    'node_modules/a': { version: '1.2.3' },
    'node_modules/a-for-windows': { version: '1.2.3', optional: true },
  },
};
const installed = { packages: { 'node_modules/@veligrid/model': {}, 'node_modules/a': { version: '1.2.3' } } };
const everywhere = (): boolean => true;

describe('missingPackages', () => {
  it('misses nothing when all but optional packages are installed', () => {
    expect(missingPackages(wanted, installed, everywhere)).toEqual([]);
  });

  it('misses what is of another version, not listed or deleted', () => {
    const older = { packages: { ...installed.packages, 'node_modules/a': { version: '1.2.2' } } };
    expect(missingPackages(wanted, older, everywhere)).toEqual(['node_modules/a']);
    expect(missingPackages(wanted, {}, everywhere)).toEqual(['node_modules/@veligrid/model', 'node_modules/a']);
    expect(missingPackages(wanted, installed, (path) => path !== 'node_modules/a')).toEqual(['node_modules/a']);
  });
});
