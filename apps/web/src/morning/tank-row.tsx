import type { Morning } from '@veligrid/api';
import type { ComponentChildren, VNode } from 'preact';
import { writeAddress } from '../state/address.js';
import { ageWords, bracketWords, limitsWords, volumeWords, wholePercent } from '../words/amounts.js';
import { shortMoment } from '../words/dates.js';
import { threeFigures } from '../words/numbers.js';
import { say, sayOr } from '../words/say.js';
import { DueChips } from './due-chips.js';
import { flagWords, type Flag } from './flag-words.js';

type Line = Morning['tanks'][number];

/** A link to the result of a count. */
function ToCount({ sample, children }: { readonly sample: string; readonly children: ComponentChildren }): VNode {
  return <a href={writeAddress({ screen: 'sign-off', count: sample })}>{children}</a>;
}

function LastCount({ line: { lastCount, present } }: { readonly line: Line }): VNode {
  if (lastCount === null) {
    return (
      <>
        {say('morning.stocked', { animals: limitsWords(present) })}
        <br />
        <span class="soft small">{say('morning.not-counted')}</span>
      </>
    );
  }
  const { sample, at, alive, perMl, stage } = lastCount;
  return (
    <>
      <ToCount sample={sample.id}>
        <strong>{threeFigures(alive.estimate)}</strong>
      </ToCount>{' '}
      <span class="small">({bracketWords(alive)})</span>
      <br /> {perMl !== null && <span class="lesser">{say('morning.per-ml', { density: limitsWords(perMl) })}; </span>}
      <span class="soft small">
        {stage === null ? '' : `${sayOr(`stage.${stage}`, stage)}, `}
        {shortMoment(at)}
      </span>
    </>
  );
}

function FlagItem({ flag }: { readonly flag: Flag }): VNode {
  const text = flagWords(flag);
  return (
    <li class={flag.tone === 'bad' ? 'flag bad' : 'flag'}>
      {flag.sampleId === null ? text : <ToCount sample={flag.sampleId}>{text}</ToCount>}
    </li>
  );
}

/** One tank with larvae in it. */
export function TankRow({ line, day }: { readonly line: Line; readonly day: string }): VNode {
  const { tank, volumeMl, batch, ageDays, length, survival, due, flags } = line;
  return (
    <tr>
      <th scope="row">
        <a href={writeAddress({ screen: 'tank', id: tank.id })}>{tank.name}</a>
        {volumeMl !== null && <div class="soft small lesser">{volumeWords(volumeMl)}</div>}
      </th>
      <td data-head={say('morning.batch')}>
        <a href={writeAddress({ screen: 'batch', id: batch.id })}>{batch.name}</a>
        {ageDays !== null && <div class="soft small">{ageWords(ageDays)}</div>}
      </td>
      <td data-head={say('morning.due')}>
        <DueChips due={due} day={day} />
      </td>
      <td data-head={say('morning.last-count')}>
        <LastCount line={line} />
      </td>
      <td data-head={say('morning.length')}>
        {length === null ? (
          <span class="soft">{say('morning.not-measured')}</span>
        ) : (
          <>
            <ToCount sample={length.sample.id}>
              {say('morning.um', { length: threeFigures(length.mean.estimate) })}
            </ToCount>
            <div class="small">{bracketWords(length.mean)}</div>
          </>
        )}
      </td>
      <td data-head={say('morning.survival')}>
        {survival === null ? (
          <span class="soft">{say('morning.no-survival')}</span>
        ) : (
          <>
            <ToCount sample={survival.sample.id}>{wholePercent(survival.part.estimate)}</ToCount>{' '}
            <span class="small">({bracketWords(survival.part, wholePercent)})</span>
            <div class="soft small lesser">
              {say(`morning.since-${survival.since}`, { days: threeFigures(survival.days) })}
            </div>
          </>
        )}
      </td>
      <td data-head={say('morning.flags')}>
        {flags.length === 0 ? (
          <span class="soft">{say('morning.nothing')}</span>
        ) : (
          <ul class="flags">
            {flags.map((flag) => (
              <FlagItem key={`${flag.code}${flag.sampleId ?? ''}`} flag={flag} />
            ))}
          </ul>
        )}
      </td>
    </tr>
  );
}
