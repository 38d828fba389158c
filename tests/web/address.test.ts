import { describe, expect, it } from 'vitest';
import { readAddress, START, writeAddress, type Place } from '../../apps/web/src/state/address.js';

describe('the address', () => {
  const places: readonly Place[] = [
    { screen: 'counts' },
    { screen: 'sign-in' },
    { screen: 'morning', day: null },
    { screen: 'tanks' },
    { screen: 'animals' },
    { screen: 'animals', animal: '7' },
    { screen: 'feed', day: null },
    { screen: 'feed', day: '2026-05-06' },
    { screen: 'batch', id: 'A / 1' },
    { screen: 'after', id: '7' },
    { screen: 'photos', count: '7' },
    { screen: 'slide', count: '7', photo: 'IMG 1.jpg', larva: '12' },
    { screen: 'slide', count: '7', photo: 'a/b', larva: null },
    { screen: 'slide', count: '7', photo: null, larva: null },
    { screen: 'rows', count: '7', show: 'um-100-110' },
    { screen: 'lengths', count: '7', show: null },
    { screen: 'sign-off', count: '7' },
    { screen: 'print', count: '7' },
  ];
  it.each(places)('is read back as written: $screen', (place) => {
    expect(readAddress(writeAddress(place))).toEqual(place);
  });
  it('is short and can be read', () => {
    expect(writeAddress({ screen: 'slide', count: '7', photo: 'p1', larva: '12' })).toBe('#/count/7/slide/p1/12');
    expect(writeAddress({ screen: 'tanks' })).toBe('#/settings/tanks');
    expect(writeAddress({ screen: 'batch', id: '3' })).toBe('#/batch/3');
  });
  it('leads to the first page when it says nothing known', () => {
    for (const hash of ['', '#', '#/', '#/elsewhere', '#/elsewhere/7', '#/count', '#/batch'])
      expect(readAddress(hash), hash).toEqual(START);
    expect(readAddress('#/settings/elsewhere')).toEqual({ screen: 'settings' });
    expect(readAddress('#/count/7/elsewhere')).toEqual({ screen: 'photos', count: '7' });
  });
});
