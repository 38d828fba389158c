import type { AfterCount } from '@veligrid/api';
import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { ask, troubleWords } from '../api/ask.js';
import { Button } from '../parts/button.js';
import { TextField } from '../parts/field.js';
import { Trouble } from '../parts/trouble.js';
import { writeAddress } from '../state/address.js';
import { announce } from '../state/announce.js';
import { mayCount } from '../state/session.js';
import { say } from '../words/say.js';
import type { Tried } from './use-desk.js';

/** Keeps what was tried: the server works it out anew. */
export function KeepBox({ after, tried }: { readonly after: AfterCount; readonly tried: Tried }): VNode | null {
  const [why, setWhy] = useState('');
  const [trouble, setTrouble] = useState<string | null>(null);
  if (!mayCount.value) return null;
  const keep = (): void => {
    const { question, changed } = tried;
    const about = { sample: after.sample.id, signOff: after.signOff.id };
    const own = { batch: after.batch?.id ?? null, tank: after.tank?.id ?? null };
    const reason = why.trim() === '' ? {} : { why: why.trim() };
    ask<'keepPlan'>('post', '/plans', { body: { question, changed: [...changed], ...about, ...own, ...reason } }).then(
      ({ id }) => {
        announce(say('plan.kept'));
        location.hash = writeAddress({ screen: 'plan', id });
      },
      (error: unknown) => {
        setTrouble(troubleWords(error));
      },
    );
  };
  return (
    <section class="stack not-printed">
      <h3>{say('plan.keep-title')}</h3>
      <TextField label={say('plan.why')} hint={say('begin.optional')} value={why} onInput={setWhy} />
      <Trouble text={trouble} />
      <p>
        <Button look="main" onClick={keep}>
          {say('plan.keep')}
        </Button>
      </p>
    </section>
  );
}
