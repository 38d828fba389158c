import type { TankSeason } from '@veligrid/api';
import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { BalanceSection } from '../batches/balance-section.js';
import { EntryDialog, type OpenEntry } from '../batches/entry-dialog.js';
import { RefusedSection } from '../batches/refused-section.js';
import { Timeline } from '../batches/timeline.js';
import { EntryForm } from '../entries/entry-form.js';
import { MoveForm } from '../entries/move-form.js';
import { Trouble } from '../parts/trouble.js';
import { Waiting } from '../parts/waiting.js';
import { useAnswer } from '../parts/use-answer.js';
import { mayCount } from '../state/session.js';
import { volumeWords } from '../words/amounts.js';
import { say } from '../words/say.js';
import { TankCounts } from './tank-counts.js';
import { TankNow } from './tank-now.js';
import { TankStays } from './tank-stays.js';
import { waterFields } from './water-fields.js';

interface PageProps {
  readonly season: TankSeason;
  readonly again: () => void;
}

/** What can be recorded of a tank from its page. */
function Recording({ season: { tank }, again }: PageProps): VNode | null {
  if (!mayCount.value) return null;
  const { id, name } = tank;
  return (
    <>
      <details class="sheet">
        <summary>{say('batch.move')}</summary>
        <MoveForm tank={{ id, name }} onKept={again} />
      </details>
      <details class="sheet">
        <summary>{say('tank.water')}</summary>
        <EntryForm
          kind="water"
          fields={waterFields()}
          always={{ tank: name }}
          go={say('tank.water-go')}
          onKept={again}
        />
      </details>
    </>
  );
}

function Page({ season, again }: PageProps): VNode {
  const [open, setOpen] = useState<OpenEntry | null>(null);
  const { now, counts, stays, balance, timeline, refused } = season;
  return (
    <>
      <RefusedSection refused={refused} onOpen={setOpen} />
      <section class="sheet stack">
        <h2>{say('tank.now')}</h2>
        {now === null ? <p>{say('tank.empty')}</p> : <TankNow now={now} />}
      </section>
      <Recording season={season} again={again} />
      <TankCounts counts={counts} />
      <div class="columns broad">
        {balance !== null && <BalanceSection balance={balance} timeline={timeline} onOpen={setOpen} />}
        {stays.length > 0 && <TankStays stays={stays} />}
      </div>
      <Timeline timeline={timeline} without="tank" onOpen={setOpen} />
      {open !== null && (
        <EntryDialog
          key={open.id}
          entry={open}
          onChanged={again}
          onClose={() => {
            setOpen(null);
          }}
        />
      )}
    </>
  );
}

/** A tank: what is in it, its counts beside what was expected, and all that was done with it. */
export function TankScreen({ id }: { readonly id: string }): VNode {
  const { value, trouble, again } = useAnswer(
    () => ask<'getTankSeason'>('get', '/season/tanks/{tank}', { at: { tank: id } }),
    [id],
  );
  if (value === null) return <Waiting trouble={trouble} />;
  const { volumeMl, name, note } = value.tank;
  const about = [...(volumeMl === null ? [] : [volumeWords(volumeMl)]), ...(note === '' ? [] : [note])];
  return (
    <div class="stack page">
      <h1>{say('tank.title', { name })}</h1>
      {about.length > 0 && <p class="soft">{about.join(' · ')}</p>}
      <Trouble text={trouble} />
      <Page season={value} again={again} />
    </div>
  );
}
