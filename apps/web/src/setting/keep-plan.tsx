import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { Button } from '../parts/button.js';
import { Trouble } from '../parts/trouble.js';
import { announce } from '../state/announce.js';
import { mayCount } from '../state/session.js';
import { say } from '../words/say.js';
import type { Question } from './use-plan.js';

interface Props {
  readonly question: Question;
  readonly batch: string;
}

/** Keeps a plan as it stands on screen, with who and when. */
export function KeepPlan({ question, batch }: Props): VNode | null {
  const [trouble, setTrouble] = useState<string | null>(null);
  if (!mayCount.value) return null;
  return (
    <div class="not-printed">
      <Trouble text={trouble} />
      <Button
        onClick={() => {
          ask<'keepPlan'>('post', '/plans', { body: { question, batch } }).then(
            () => {
              setTrouble(null);
              announce(say('settle.kept'));
            },
            (error: unknown) => {
              setTrouble(error instanceof Error ? error.message : String(error));
            },
          );
        }}
      >
        {say('settle.keep')}
      </Button>
    </div>
  );
}
