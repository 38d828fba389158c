import type { VNode } from 'preact';

/** Something that went wrong, in a sentence; nothing when there is none. */
export function Trouble({ text }: { readonly text: string | null }): VNode | null {
  return text === null ? null : (
    <p class="note bad" role="alert">
      {text}
    </p>
  );
}
