import type { PlanHead } from '@veligrid/api';
import type { VNode } from 'preact';
import { writeAddress } from '../state/address.js';
import { dateTime } from '../words/numbers.js';
import { say, sayOr } from '../words/say.js';

/** Whether the count behind a plan is still what it was. */
export function Standing({ standing }: Pick<PlanHead, 'standing'>): VNode | null {
  if (standing === 'stands') return <span class="chip done">{say('standing.stands')}</span>;
  return <span class={standing === 'rests-on-none' ? 'chip open' : 'chip bad'}>{say(`standing.${standing}`)}</span>;
}

/** Plans that were kept, latest first. */
export function PlanList({ plans }: { readonly plans: readonly PlanHead[] }): VNode {
  return (
    <ul class="plain-list">
      {plans.toReversed().map(({ id, kind, made, why, standing }) => (
        <li key={id} class="side-by-side">
          <a href={writeAddress({ screen: 'plan', id })}>
            {kind === 'stocking' ? say('use.stocking-or-thinning') : sayOr(`use.${kind}`, kind)}
          </a>
          <span>{say('result.signed', { by: made.by, at: dateTime(made.at) })}</span>
          {why !== null && <span>{why}</span>}
          <Standing standing={standing} />
        </li>
      ))}
    </ul>
  );
}
