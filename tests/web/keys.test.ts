import { describe, expect, it } from 'vitest';
import { actOf, STARTING_KEYS, withKey, type Pressed } from '../../apps/web/src/state/keys.js';

const key = (name: string, more: Partial<Pressed> = {}): Pressed => ({
  key: name,
  ctrlKey: false,
  metaKey: false,
  altKey: false,
  shiftKey: false,
  ...more,
});

describe('keys', () => {
  it('every one does one thing', () => {
    const used = Object.values(STARTING_KEYS);
    expect(new Set(used).size).toBe(used.length);
  });
  it('do what they are said to', () => {
    expect(actOf(key('n'), STARTING_KEYS, true)).toBe('next-look');
    expect(actOf(key('N', { shiftKey: true }), STARTING_KEYS, true)).toBe('next-look');
    expect(actOf(key('6'), STARTING_KEYS, true)).toBe('stage:eyed');
    expect(actOf(key('z', { ctrlKey: true }), STARTING_KEYS, true)).toBe('undo');
    expect(actOf(key('Z', { ctrlKey: true, shiftKey: true }), STARTING_KEYS, true)).toBe('redo');
    expect(actOf(key('Delete'), STARTING_KEYS, true)).toBe('remove');
    expect(actOf(key('ñ'), STARTING_KEYS, true)).toBeNull();
  });
  it('leave the browser its own', () => {
    expect(actOf(key('r', { ctrlKey: true }), STARTING_KEYS, true)).toBeNull();
    expect(actOf(key('a', { altKey: true }), STARTING_KEYS, true)).toBeNull();
  });
  it('switched off, only those with Ctrl and Delete are left', () => {
    expect(actOf(key('n'), STARTING_KEYS, false)).toBeNull();
    expect(actOf(key('z', { ctrlKey: true }), STARTING_KEYS, false)).toBe('undo');
    expect(actOf(key('Delete'), STARTING_KEYS, false)).toBe('remove');
  });
  it('changed, the act that had the key has none', () => {
    const changed = withKey(STARTING_KEYS, 'ruler', 'N');
    expect(actOf(key('n'), changed, true)).toBe('ruler');
    expect(changed['next-look']).toBeUndefined();
    expect(withKey(changed, 'ruler', '')['ruler']).toBeUndefined();
  });
});
