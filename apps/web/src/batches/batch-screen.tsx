import type { BatchSeason } from '@veligrid/api';
import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { addressOf, ask } from '../api/ask.js';
import { MoveForm } from '../entries/move-form.js';
import { Trouble } from '../parts/trouble.js';
import { Waiting } from '../parts/waiting.js';
import { useAnswer } from '../parts/use-answer.js';
import { writeAddress } from '../state/address.js';
import { mayCount } from '../state/session.js';
import { dateTime, threeFigures } from '../words/numbers.js';
import { say, sayOr } from '../words/say.js';
import { BalanceSection } from './balance-section.js';
import { EntryDialog, type OpenEntry } from './entry-dialog.js';
import { GrowthSection } from './growth-section.js';
import { NowSection } from './now-section.js';
import { PedigreeSection } from './pedigree-section.js';
import { RefusedSection } from './refused-section.js';
import { StagesSection } from './stages-section.js';
import { SurvivalSection } from './survival-section.js';
import { Timeline } from './timeline.js';

/** What a batch is, in a line. */
export function BatchHead({ season: { batch, ageDays, now } }: { readonly season: BatchSeason }): VNode {
  const spawned = batch.spawnedAt === null ? say('batch.not-known') : dateTime(batch.spawnedAt);
  const facts = [
    sayOr(`species.${batch.species}`, batch.species),
    `${say('batch.spawned')}: ${spawned}`,
    ...(ageDays === null || now.length === 0 ? [] : [say('batch.days', { days: threeFigures(ageDays) })]),
    ...(batch.note === '' ? [] : [batch.note]),
  ];
  return <p class="soft">{facts.join(' · ')}</p>;
}

function Ways({ id }: { readonly id: string }): VNode {
  return (
    <div class="side-by-side">
      <a class="button" href={writeAddress({ screen: 'setting', id })}>
        {say('batch.setting')}
      </a>
      <a class="button" href={writeAddress({ screen: 'batch-report', id })}>
        {say('batch.report')}
      </a>
      <a class="button" href={addressOf('/season/batches/{batch}/history.csv', { batch: id })} download>
        {say('batch.csv')}
      </a>
    </div>
  );
}

interface PageProps {
  readonly season: BatchSeason;
  readonly again: () => void;
}

function Page({ season, again }: PageProps): VNode {
  const [open, setOpen] = useState<OpenEntry | null>(null);
  const { batch, now, survival, counts, timeline, balance, refused } = season;
  return (
    <>
      <RefusedSection refused={refused} onOpen={setOpen} />
      <NowSection now={now} />
      <GrowthSection season={season} />
      <SurvivalSection survival={survival} timeline={timeline} onOpen={setOpen} />
      <StagesSection counts={counts} />
      <div class="columns broad">
        <BalanceSection balance={balance} timeline={timeline} onOpen={setOpen} />
        <PedigreeSection season={season} />
      </div>
      {mayCount.value && (
        <details class="sheet">
          <summary>{say('batch.move')}</summary>
          <MoveForm batch={{ id: batch.id, name: batch.name }} onKept={again} />
        </details>
      )}
      <Timeline timeline={timeline} without={null} onOpen={setOpen} />
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

/** A batch from broodstock to now. */
export function BatchScreen({ id }: { readonly id: string }): VNode {
  const { value, trouble, again } = useAnswer(
    () => ask<'getBatchSeason'>('get', '/season/batches/{batch}', { at: { batch: id } }),
    [id],
  );
  if (value === null) return <Waiting trouble={trouble} />;
  return (
    <div class="stack page">
      <div class="side-by-side spread">
        <h1>{say('batch.title', { name: value.batch.name })}</h1>
        <Ways id={id} />
      </div>
      <BatchHead season={value} />
      <Trouble text={trouble} />
      <Page season={value} again={again} />
    </div>
  );
}
