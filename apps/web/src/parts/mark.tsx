import type { VNode } from 'preact';

/** The mark: a straight-hinge shell seen through a round field, with two lines of growth. */
export function Mark(): VNode {
  return (
    <svg viewBox="0 0 32 32" aria-hidden="true" fill="none" stroke="currentColor" stroke-width="2.2">
      <circle cx="16" cy="16" r="14.5" />
      <path d="M8.5 11.5h15c2 8-2.5 13.5-7.5 13.5S6.5 19.5 8.5 11.5Z" stroke-linejoin="round" />
      <path d="M11.5 11.5c-.5 5 1.5 8.5 4.5 8.5s5-3.5 4.5-8.5" />
    </svg>
  );
}
