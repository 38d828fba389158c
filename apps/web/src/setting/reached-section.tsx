import type { SettingOfBatch } from '@veligrid/api';
import type { VNode } from 'preact';
import { EntryForm } from '../entries/entry-form.js';
import { ScrollX } from '../parts/scroll-x.js';
import { CorrectButton } from '../spawns/correct-button.js';
import { atField, noteField } from '../spawns/spawn-fields.js';
import { mayCount } from '../state/session.js';
import { limitsWords } from '../words/limits.js';
import { dateTime, percent, threeFigures } from '../words/numbers.js';
import { say } from '../words/say.js';

interface Props {
  readonly view: SettingOfBatch;
  readonly onChanged: () => void;
}

type Line = SettingOfBatch['settings'][number];

const number = (value: number | null): string => (value === null ? '–' : threeFigures(value));

function SetRow({ line, onChanged }: { readonly line: Line; readonly onChanged: () => void }): VNode {
  return (
    <tr>
      <th scope="row">{dateTime(line.happenedAt)}</th>
      <td>{limitsWords(line.limits, threeFigures)}</td>
      <td>
        {line.cultch}
        <div class="soft small">
          {line.shells !== null && say('reached.shells', { n: threeFigures(line.shells) })}{' '}
          {line.bags !== null && say('reached.bags', { n: threeFigures(line.bags) })}
        </div>
      </td>
      <td>
        {line.spatCounts.map(({ id, happenedAt, shells, spat }) => (
          <div key={id}>
            {say('reached.spat-on', { n: threeFigures(spat), of: shells, each: threeFigures(spat / shells) })}{' '}
            <CorrectButton kind="spat-count" id={id} at={happenedAt} of={line.batchName} onChanged={onChanged} />
          </div>
        ))}
        {line.spatCounts.length === 0 && '–'}
      </td>
      <td>{line.efficiency === null ? '–' : <strong>{limitsWords(line.efficiency, (one) => percent(one))}</strong>}</td>
      <td>{line.by}</td>
      <td>
        <CorrectButton kind="setting" id={line.id} at={line.happenedAt} of={line.batchName} onChanged={onChanged} />
      </td>
    </tr>
  );
}

function Settings({ view, onChanged }: Props): VNode {
  return (
    <ScrollX label={say('reached.title')}>
      <table class="even">
        <thead>
          <tr>
            <th scope="col">{say('entry.at')}</th>
            <th scope="col">{say('reached.larvae')}</th>
            <th scope="col">{say('move.cultch')}</th>
            <th scope="col">{say('reached.spat')}</th>
            <th scope="col">{say('reached.efficiency')}</th>
            <th scope="col">{say('spawn.by')}</th>
            <td />
          </tr>
        </thead>
        <tbody>
          {view.settings.map((line) => (
            <SetRow key={line.id} line={line} onChanged={onChanged} />
          ))}
        </tbody>
      </table>
    </ScrollX>
  );
}

function Shipped({ view: { shipped }, onChanged }: Props): VNode | null {
  if (shipped.length === 0) return null;
  return (
    <>
      <h3>{say('reached.shipped')}</h3>
      <ul>
        {shipped.map(({ id, happenedAt, number: sent, low, high, place, fromName, by }) => (
          <li key={id}>
            {say('reached.ship-line', {
              when: dateTime(happenedAt),
              n: limitsWords({ estimate: sent, low: low ?? sent, high: high ?? sent }, threeFigures),
              tank: fromName ?? '–',
              place: place || '–',
              by,
            })}{' '}
            <CorrectButton kind="move" id={id} at={happenedAt} of={number(sent)} onChanged={onChanged} />
          </li>
        ))}
      </ul>
    </>
  );
}

/** What was put to set and shipped, spat counted on the shells, and the efficiency reached. */
export function ReachedSection({ view, onChanged }: Props): VNode {
  const { settings, batch } = view;
  return (
    <section class="sheet stack not-printed">
      <h2>{say('reached.title')}</h2>
      {settings.length === 0 ? <p>{say('reached.none')}</p> : <Settings view={view} onChanged={onChanged} />}
      {settings.some(({ efficiency }) => efficiency !== null) && <p class="soft small">{say('reached.how')}</p>}
      <Shipped view={view} onChanged={onChanged} />
      {mayCount.value && settings.length > 0 && (
        <EntryForm
          kind="spat-count"
          title={say('reached.count-new')}
          fields={[
            { name: 'shells', label: say('reached.shells-looked'), as: 'number', required: true },
            { name: 'spat', label: say('reached.spat-seen'), as: 'number', required: true },
            atField(),
            noteField(),
          ]}
          always={{ batch: batch.id }}
          go={say('reached.count-add')}
          onKept={onChanged}
        />
      )}
    </section>
  );
}
