import type { AfterCount } from '@veligrid/api';
import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { Button } from '../parts/button.js';
import { Trouble } from '../parts/trouble.js';
import { useAnswer } from '../parts/use-answer.js';
import { writeAddress } from '../state/address.js';
import { dateTime } from '../words/numbers.js';
import { say, sayOr } from '../words/say.js';
import { ChangesSheet } from './changes-sheet.js';
import { PlanDesk } from './plan-desk.js';
import { PlanList } from './plan-list.js';

/** Tank, batch and who stands for the count. */
function About({ after: { sample, signOff, tank, batch, species } }: { readonly after: AfterCount }): VNode {
  return (
    <p class="side-by-side">
      <span class="chip done">{say('state.signed-off')}</span>
      <a href={writeAddress({ screen: 'sign-off', count: sample.id })}>
        {say('result.signed', { by: signOff.by, at: dateTime(signOff.at) })}
      </a>
      {tank !== null && (
        <a href={writeAddress({ screen: 'tank', id: tank.id })}>{say('after.tank', { name: tank.name })}</a>
      )}
      {batch !== null && (
        <a href={writeAddress({ screen: 'batch', id: batch.id })}>{say('batch.title', { name: batch.name })}</a>
      )}
      <span>{sayOr(`species.${species}`, species)}</span>
      <span>{dateTime(sample.takenAt)}</span>
    </p>
  );
}

/** The plans that a count allows, one open at a time. */
function Plans({ after }: { readonly after: AfterCount }): VNode {
  const [open, setOpen] = useState<string | null>(after.allowed[0]?.use ?? null);
  const shown = after.allowed.find(({ use }) => use === open);
  return (
    <>
      <section class="stack not-printed">
        <h2>{say('after.allows')}</h2>
        {after.allowed.length === 0 ? (
          <p>{say('after.allows-none')}</p>
        ) : (
          <div class="side-by-side" role="group" aria-label={say('after.allows')}>
            {after.allowed.map(({ use }) => (
              <Button
                key={use}
                pressed={use === open}
                onClick={() => {
                  setOpen(use);
                }}
              >
                {sayOr(`use.${use}`, use)}
              </Button>
            ))}
          </div>
        )}
      </section>
      {shown !== undefined && <PlanDesk key={shown.use} after={after} use={shown.use} first={shown.question} />}
    </>
  );
}

/** What a signed-off count changes, and what to do with it. */
export function AfterScreen({ id }: { readonly id: string }): VNode {
  const {
    value: after,
    trouble,
    again,
  } = useAnswer(() => ask<'getAfterCount'>('get', '/samples/{sample}/after', { at: { sample: id } }), [id]);
  if (after === null) {
    return trouble === null ? <p role="status">{say('app.loading')}</p> : <Trouble text={trouble} />;
  }
  return (
    <div class="stack page">
      <div class="side-by-side spread">
        <h1>{say('after.title', { name: after.sample.name })}</h1>
        <a class="button not-printed" href={writeAddress({ screen: 'sign-off', count: after.sample.id })}>
          {say('after.result')}
        </a>
      </div>
      <About after={after} />
      <ChangesSheet after={after} onChanged={again} />
      {after.plans.length > 0 && (
        <section class="sheet stack">
          <h2>{say('after.plans')}</h2>
          <PlanList plans={after.plans} />
        </section>
      )}
      <Plans after={after} />
    </div>
  );
}
