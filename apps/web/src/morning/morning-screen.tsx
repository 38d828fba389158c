import type { Morning } from '@veligrid/api';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { refusalWords } from '../batches/entry-names.js';
import { DayBar } from '../parts/day-bar.js';
import { Trouble } from '../parts/trouble.js';
import { Waiting } from '../parts/waiting.js';
import { useAnswer } from '../parts/use-answer.js';
import { writeAddress } from '../state/address.js';
import { deviceZone } from '../words/dates.js';
import { say } from '../words/say.js';
import { BatchesBrief, CulturesBrief, EmptyTanks } from './house-brief.js';
import { TankRow } from './tank-row.js';

/** More tanks than these are printed small, or very small on a sheet that lies, so that they fit on one. */
const MANY = 14;
const VERY_MANY = 30;
const MANY_BATCHES = 20;

const howMany = (tanks: number): 'no' | 'yes' | 'very' => (tanks > VERY_MANY ? 'very' : tanks > MANY ? 'yes' : 'no');

const HEADS = ['tank', 'batch', 'due', 'last-count', 'length', 'survival', 'flags'] as const;

function Tanks({ morning }: { readonly morning: Morning }): VNode {
  return (
    <div class="sheet">
      <table class="stacked morning">
        <caption class="unseen">{say('morning.tanks')}</caption>
        <thead>
          <tr>
            {HEADS.map((head) => (
              <th key={head} scope="col">
                {say(`morning.${head}`)}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {morning.tanks.map((line) => (
            <TankRow key={line.tank.id} line={line} day={morning.day} />
          ))}
        </tbody>
      </table>
    </div>
  );
}

/** Nothing in any tank yet: where larvae come in, and where counts are. */
function NoTanks(): VNode {
  return (
    <div class="sheet stack">
      <p>{say('morning.none')}</p>
      <div class="side-by-side">
        <a class="button" href={writeAddress({ screen: 'counts' })}>
          {say('nav.counts')}
        </a>
        <a class="button" href={writeAddress({ screen: 'spawns' })}>
          {say('nav.spawns')}
        </a>
      </div>
    </div>
  );
}

/** What the day finds in each tank, what is due, and what wants a look: one screen, one sheet of paper. */
export function MorningScreen({ day }: { readonly day: string | null }): VNode {
  const query = { zone: deviceZone(), ...(day === null ? {} : { day }) };
  const { value, trouble } = useAnswer(() => ask<'getMorning'>('get', '/morning', { query }), [day]);
  if (value === null) return <Waiting trouble={trouble} />;
  return (
    <div
      class="stack page broad on-one-sheet"
      data-many={howMany(value.tanks.length)}
      data-batches={value.batches.length > MANY_BATCHES ? 'many' : 'few'}
    >
      <DayBar screen="morning" day={value.day} today={value.today} title={say('nav.morning')} />
      <Trouble text={trouble} />
      {value.refused.length > 0 && (
        <div class="note bad">
          <p>{say('morning.refused', { n: value.refused.length })}</p>
          <ul>
            {value.refused.map(({ id, why }) => (
              <li key={id}>{refusalWords(why)}</li>
            ))}
          </ul>
        </div>
      )}
      {value.tanks.length === 0 ? <NoTanks /> : <Tanks morning={value} />}
      <div class="columns brief">
        <BatchesBrief morning={value} />
        <CulturesBrief morning={value} />
      </div>
      <EmptyTanks tanks={value.empty} />
    </div>
  );
}
