import type { BatchSeason } from '@veligrid/api';
import type { VNode } from 'preact';
import { ScrollX } from '../parts/scroll-x.js';
import { writeAddress } from '../state/address.js';
import { limitsWords } from '../words/limits.js';
import { dateTime, threeFigures } from '../words/numbers.js';
import { say } from '../words/say.js';

type Now = BatchSeason['now'];

/** Tanks that hold a batch, with what is there now. */
export function NowTable({ now }: { readonly now: Now }): VNode {
  return (
    <table>
      <thead>
        <tr>
          <th scope="col">{say('batch.tank')}</th>
          <th scope="col">{say('batch.since')}</th>
          <th scope="col" class="number">
            {say('batch.there')}
          </th>
          <th scope="col" class="number">
            {say('batch.per-ml')}
          </th>
          <th scope="col">{say('batch.last-count')}</th>
        </tr>
      </thead>
      <tbody>
        {now.map(({ tank, since, present, densityPerMl, lastCount }) => (
          <tr key={tank.id}>
            <th scope="row">
              <a href={writeAddress({ screen: 'tank', id: tank.id })}>{tank.name}</a>
            </th>
            <td>{dateTime(since)}</td>
            <td class="number">{limitsWords(present, threeFigures)}</td>
            <td class="number">{densityPerMl === null ? '–' : limitsWords(densityPerMl, threeFigures)}</td>
            <td>
              {lastCount === null ? (
                say('batch.not-counted')
              ) : (
                <a href={writeAddress({ screen: 'sign-off', count: lastCount.sample.id })}>{dateTime(lastCount.at)}</a>
              )}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** Where a batch is now. */
export function NowSection({ now }: { readonly now: Now }): VNode {
  return (
    <section class="sheet stack">
      <h2>{say('batch.where')}</h2>
      {now.length === 0 ? (
        <p>{say('batch.nowhere')}</p>
      ) : (
        <>
          <ScrollX label={say('batch.where')}>
            <NowTable now={now} />
          </ScrollX>
          <p class="small soft">{`${say('batch.there')}: ${say('batch.there-hint')}. ${say('batch.limits-note')}`}</p>
        </>
      )}
    </section>
  );
}
