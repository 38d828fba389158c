import type { VNode } from 'preact';
import { say } from '../words/say.js';
import { Trouble } from './trouble.js';

/** In the place of a screen whose answer is not here yet: that it is on its way, or why there is none. */
export function Waiting({ trouble }: { readonly trouble: string | null }): VNode {
  if (trouble !== null) return <Trouble text={trouble} />;
  return (
    <p class="sheet" role="status">
      {say('app.loading')}
    </p>
  );
}
