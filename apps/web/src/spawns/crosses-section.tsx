import type { SpawnView } from '@veligrid/api';
import type { VNode } from 'preact';
import { EntryForm } from '../entries/entry-form.js';
import { ScrollX } from '../parts/scroll-x.js';
import { writeAddress } from '../state/address.js';
import { mayCount } from '../state/session.js';
import { dateTime, threeFigures } from '../words/numbers.js';
import { say } from '../words/say.js';
import { CorrectButton } from './correct-button.js';
import { NewCross } from './new-cross.js';
import { atField, maybe, noteField } from './spawn-fields.js';

interface Props {
  readonly view: SpawnView;
  readonly onChanged: () => void;
}

type Cross = SpawnView['crosses'][number];

/** Animals in a row, none of them broken at its hyphen, each leading to what is known of it. */
const Names = ({ of }: { readonly of: readonly { readonly id: string; readonly name: string }[] }): VNode => (
  <>
    {of.map(({ id, name }, i) => (
      <span key={id} class="whole">
        {i > 0 && ', '}
        <a class="in-line" href={writeAddress({ screen: 'animals', animal: id })}>
          {name}
        </a>
      </span>
    ))}
  </>
);
const number = (value: number | null): string => (value === null ? '–' : threeFigures(value));

/** Sperm seen on eggs and sperm added, each with what is known of it. */
function SpermCell({ cross, onChanged }: { readonly cross: Cross; readonly onChanged: () => void }): VNode {
  return (
    <td>
      {cross.addedPerEgg === null && cross.spermChecks.length === 0 && '–'}
      {cross.addedPerEgg !== null && <div>{say('cross.added', { n: threeFigures(cross.addedPerEgg) })}</div>}
      {cross.spermChecks.map((check) => (
        <div key={check.id}>
          {say('cross.attached', { n: threeFigures(check.attachedPerEgg) })}{' '}
          <span class={check.band === 'advised' ? 'chip done' : check.band === 'polyspermy' ? 'chip bad' : 'chip open'}>
            {say(`sperm.${check.band}`)}
          </span>{' '}
          <CorrectButton kind="sperm-check" id={check.id} at={check.happenedAt} of={cross.name} onChanged={onChanged} />
        </div>
      ))}
    </td>
  );
}

function CrossRow({ cross, onChanged }: { readonly cross: Cross; readonly onChanged: () => void }): VNode {
  return (
    <tr>
      <th scope="row">{cross.name}</th>
      <td>
        <Names of={cross.dams} />
      </td>
      <td>
        <Names of={cross.sires} />
        {cross.pooledSperm && <div class="soft small">{say('cross.pooled')}</div>}
      </td>
      <td class="number">{number(cross.eggs)}</td>
      <SpermCell cross={cross} onChanged={onChanged} />
      <td>
        {cross.batches.map(({ id, name, eggs }) => (
          <div key={id}>
            <a class="in-line" href={writeAddress({ screen: 'batch', id })}>
              {name}
            </a>{' '}
            {say('cross.eggs-in', { n: threeFigures(eggs) })}
          </div>
        ))}
      </td>
      <td>{dateTime(cross.happenedAt)}</td>
      <td>
        <CorrectButton kind="cross" id={cross.id} at={cross.happenedAt} of={cross.name} onChanged={onChanged} />
      </td>
    </tr>
  );
}

function CrossTable({ view, onChanged }: Props): VNode {
  return (
    <ScrollX label={say('cross.title')}>
      <table class="even">
        <thead>
          <tr>
            <th scope="col">{say('cross.name')}</th>
            <th scope="col">{say('cross.dams')}</th>
            <th scope="col">{say('cross.sires')}</th>
            <th scope="col" class="number">
              {say('cross.eggs')}
            </th>
            <th scope="col">{say('cross.sperm-per-egg')}</th>
            <th scope="col">{say('nav.batches')}</th>
            <th scope="col">{say('entry.at')}</th>
            <td />
          </tr>
        </thead>
        <tbody>
          {view.crosses.map((cross) => (
            <CrossRow key={cross.id} cross={cross} onChanged={onChanged} />
          ))}
        </tbody>
      </table>
    </ScrollX>
  );
}

function SpermCheckForm({ view, onChanged }: Props): VNode {
  const [first] = view.crosses;
  return (
    <details>
      <summary>{say('sperm.new')}</summary>
      <EntryForm
        kind="sperm-check"
        fields={[
          {
            name: 'cross',
            label: say('cross.name'),
            as: 'choice',
            options: view.crosses.map(({ id, name }) => ({ value: id, label: name })),
          },
          {
            name: 'attached_per_egg',
            label: say('sperm.attached'),
            hint: say('sperm.attached-hint'),
            as: 'number',
            required: true,
          },
          maybe('eggs', 'sperm.eggs', { as: 'number' }),
          atField(),
          noteField(),
        ]}
        start={{ cross: first?.id ?? '' }}
        go={say('sperm.add')}
        onKept={onChanged}
      />
      <p class="soft small">{say('sperm.source')}</p>
    </details>
  );
}

/** Crosses that were made, and a new one, judged beside before it is recorded. */
export function CrossesSection({ view, onChanged }: Props): VNode {
  return (
    <section class="sheet stack">
      <h2>{say('cross.title')}</h2>
      {view.crosses.length === 0 ? <p>{say('cross.none')}</p> : <CrossTable view={view} onChanged={onChanged} />}
      {mayCount.value && view.crosses.length > 0 && <SpermCheckForm view={view} onChanged={onChanged} />}
      {mayCount.value && <NewCross view={view} onKept={onChanged} />}
    </section>
  );
}
