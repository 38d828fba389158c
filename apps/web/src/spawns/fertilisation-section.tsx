import type { SpawnView } from '@veligrid/api';
import type { VNode } from 'preact';
import { writeAddress } from '../state/address.js';
import { mayCount } from '../state/session.js';
import { limitsWords } from '../words/limits.js';
import { dateTime, percent, threeFigures } from '../words/numbers.js';
import { say } from '../words/say.js';

type Check = SpawnView['fertilisation'][number];
type Told = NonNullable<Check['answer']>;

/** Codes that are said by the chip or the figure itself. */
const SAID: readonly string[] = ['below-target', 'fertilised-at-least', 'no-eggs'];

function Share({ told }: { readonly told: Told }): VNode {
  const { share, scored, fertilised, atLeast, target, signedOffBy, warnings } = told;
  const below = warnings.some(({ code }) => code === 'below-target');
  if (share === null) return <p>{say('fertilised.no-eggs')}</p>;
  return (
    <>
      <p>
        <strong class="great">
          {atLeast && `${say('fertilised.at-least')} `}
          {limitsWords(share, (one) => percent(one))}
        </strong>{' '}
        {say('fertilised.of', { n: fertilised, of: scored })}
      </p>
      <p>
        <span class={below ? 'chip bad' : atLeast ? 'chip open' : 'chip done'}>
          {say(below ? 'fertilised.below' : atLeast ? 'fertilised.early' : 'fertilised.good', {
            target: percent(target, 0),
          })}
        </span>{' '}
        <span class="soft">{say('fertilised.signed', { by: signedOffBy })}</span>
      </p>
      {below && <p class="note bad">{say('fertilised.below-do')}</p>}
      {warnings.some(({ code }) => !SAID.includes(code)) && <p class="note small">{say('fertilised.few')}</p>}
    </>
  );
}

function CheckSheet({ check }: { readonly check: Check }): VNode {
  const { sample, tankName, batchName, takenAt, minutes, answer } = check;
  return (
    <li class="stack check">
      <p>
        <a class="in-line" href={writeAddress({ screen: answer === null ? 'photos' : 'sign-off', count: sample })}>
          {say('fertilised.count', { batch: batchName ?? '', tank: tankName, when: dateTime(takenAt) })}
        </a>{' '}
        {minutes !== null && (
          <span class="soft">{say('fertilised.after', { n: threeFigures(Math.round(minutes)) })}</span>
        )}
      </p>
      {answer === null ? (
        <p>
          <span class="chip open">{say('state.open')}</span> {say('fertilised.open')}
        </p>
      ) : (
        <Share told={answer} />
      )}
    </li>
  );
}

/** Whether it took: counts of the eggs of the batches of this spawn, and the way to a new one. */
export function FertilisationSection({ view }: { readonly view: SpawnView }): VNode {
  return (
    <section class="sheet stack">
      <h2>{say('fertilised.title')}</h2>
      <p class="soft">{say('fertilised.how')}</p>
      <ul class="plain-list">
        {view.fertilisation.map((check) => (
          <CheckSheet key={check.sample} check={check} />
        ))}
      </ul>
      {mayCount.value && (
        <p class="side-by-side">
          {view.batches.map(({ id, name }) => (
            <a key={id} class="button" href={writeAddress({ screen: 'begin', batch: id })}>
              {say('fertilised.begin', { batch: name })}
            </a>
          ))}
        </p>
      )}
    </section>
  );
}
