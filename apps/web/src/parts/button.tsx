import type { ComponentChildren, VNode } from 'preact';
import type { Act } from '../state/keys.js';
import { KeyHint, keyShortcut } from './key-hint.js';

interface Props {
  readonly onClick: () => void;
  readonly children: ComponentChildren;
  /** How much it stands out: the one thing to do next, plain, hardly, or what takes something away. */
  readonly look?: 'main' | 'plain' | 'quiet' | 'stern';
  /** For buttons that stay down. */
  readonly pressed?: boolean;
  readonly disabled?: boolean;
  /** Act whose key is shown on it. */
  readonly act?: Act;
  readonly label?: string;
}

/** A button large enough for wet fingers. */
export function Button({ onClick, children, look = 'plain', pressed, disabled, act, label }: Props): VNode {
  return (
    <button
      type="button"
      class={look === 'plain' ? 'button' : `button ${look}`}
      onClick={onClick}
      disabled={disabled}
      aria-pressed={pressed}
      aria-label={label}
      aria-keyshortcuts={act === undefined ? undefined : keyShortcut(act)}
    >
      {children}
      {act !== undefined && <KeyHint act={act} />}
    </button>
  );
}
