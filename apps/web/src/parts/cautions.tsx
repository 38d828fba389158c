import type { VNode } from 'preact';
import { sayOr } from '../words/say.js';

interface Caution {
  readonly code: string;
  /** As the server says it, where there are no words of ours. */
  readonly message?: string;
}

interface Props {
  readonly codes?: readonly string[];
  readonly cautions?: readonly Caution[];
}

/** What to heed before something is done that can hurt; local rules come first. */
export function Cautions({ codes = [], cautions = [] }: Props): VNode | null {
  const all: readonly Caution[] = [...codes.map((code) => ({ code })), ...cautions];
  if (all.length === 0) return null;
  return (
    <>
      {all.map(({ code, message }) => (
        <p key={code} class="note">
          {sayOr(`caution.${code}`, message ?? code)}
        </p>
      ))}
    </>
  );
}
