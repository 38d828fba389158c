import type { VNode } from 'preact';
import { writeAddress, type Place, type PlaceOfCount } from '../state/address.js';
import type { OpenSample } from '../state/open-sample.js';
import { dateTime } from '../words/numbers.js';
import { say } from '../words/say.js';

const STEPS = ['photos', 'slide', 'rows', 'lengths', 'sign-off'] as const;

function placeOf(step: (typeof STEPS)[number], count: string): Place {
  if (step === 'slide') return { screen: step, count, photo: null, larva: null };
  if (step === 'rows' || step === 'lengths') return { screen: step, count, show: null };
  return { screen: step, count };
}

/** Whether the count is signed off, and whether everything decided is stored. */
function Signs({ open }: { readonly open: OpenSample }): VNode {
  const signed = open.sample.value?.state === 'signed-off';
  const waiting = open.decisions.waiting.value;
  const away = !open.decisions.reachable.value;
  return (
    <div class="signs">
      {waiting > 0 && (
        <span class={away ? 'chip bad' : 'chip open'} role="status" title={away ? say('store.away') : undefined}>
          {say('store.waiting', { n: waiting })}
        </span>
      )}
      <span class={signed ? 'chip done' : 'chip open'}>{say(signed ? 'state.signed-off' : 'state.open')}</span>
    </div>
  );
}

/** Which count is open, and its steps from photos to sign-off. */
export function Steps({ open, here }: { readonly open: OpenSample; readonly here: PlaceOfCount }): VNode {
  const sample = open.sample.value;
  return (
    <div class="steps">
      <div class="about">
        <strong>{sample?.tankName ?? '…'}</strong>
        <span>{sample === null ? '' : dateTime(sample.takenAt)}</span>
      </div>
      <nav aria-label={say('nav.steps')}>
        <ol>
          {STEPS.map((step) => (
            <li key={step}>
              <a href={writeAddress(placeOf(step, open.id))} aria-current={here.screen === step ? 'step' : undefined}>
                {say(`step.${step}`)}
              </a>
            </li>
          ))}
        </ol>
      </nav>
      <Signs open={open} />
    </div>
  );
}
