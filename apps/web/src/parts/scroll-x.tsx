import type { ComponentChildren, VNode } from 'preact';

interface Props {
  readonly label: string;
  readonly children: ComponentChildren;
}

/** What may be wider than a phone: scrolls sideways, by keys too. */
export function ScrollX({ label, children }: Props): VNode {
  return (
    <div class="scroll-x" role="region" aria-label={label} tabIndex={0}>
      {children}
    </div>
  );
}
