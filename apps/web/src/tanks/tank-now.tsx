import type { TankSeason } from '@veligrid/api';
import type { ComponentChildren, VNode } from 'preact';
import { writeAddress } from '../state/address.js';
import { limitsWords } from '../words/limits.js';
import { dateTime, threeFigures } from '../words/numbers.js';
import { say } from '../words/say.js';

const Told = ({ name, children }: { readonly name: string; readonly children: ComponentChildren }): VNode => (
  <div>
    <dt>{name}</dt>
    <dd>{children}</dd>
  </div>
);

/** What is in a tank now. */
export function TankNow({ now }: { readonly now: NonNullable<TankSeason['now']> }): VNode {
  const { batch, since, present, densityPerMl, lastCount } = now;
  return (
    <dl class="told-of">
      <Told name={say('print.batch')}>
        <a href={writeAddress({ screen: 'batch', id: batch.id })}>{batch.name}</a>
      </Told>
      <Told name={say('batch.since')}>{dateTime(since)}</Told>
      <Told name={`${say('batch.there')}, ${say('batch.there-hint')}`}>{limitsWords(present, threeFigures)}</Told>
      <Told name={say('batch.per-ml')}>{densityPerMl === null ? '–' : limitsWords(densityPerMl, threeFigures)}</Told>
      <Told name={say('batch.last-count')}>
        {lastCount === null ? (
          say('batch.not-counted')
        ) : (
          <a href={writeAddress({ screen: 'sign-off', count: lastCount.sample.id })}>{dateTime(lastCount.at)}</a>
        )}
      </Told>
    </dl>
  );
}
