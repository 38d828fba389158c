import type { VNode } from 'preact';
import type { Act } from '../state/keys.js';
import { settings } from '../state/settings.js';

/** The key of an act, for those who use a keyboard; nothing when keys are off or the act has none. */
export function KeyHint({ act }: { readonly act: Act }): VNode | null {
  const { letters, keys } = settings.value;
  const key = keys[act];
  return letters && key !== undefined ? <kbd aria-hidden="true">{key}</kbd> : null;
}

/** The key of an act as `aria-keyshortcuts` wants it. */
export function keyShortcut(act: Act): string | undefined {
  const { letters, keys } = settings.value;
  return letters ? keys[act]?.toUpperCase() : undefined;
}
