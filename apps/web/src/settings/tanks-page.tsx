import type { TankRecord } from '@veligrid/api';
import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { typedNumber } from '../entries/entry-field.js';
import { EntryForm } from '../entries/entry-form.js';
import { Button } from '../parts/button.js';
import { TextField } from '../parts/field.js';
import { Trouble } from '../parts/trouble.js';
import { useAnswer } from '../parts/use-answer.js';
import { writeAddress } from '../state/address.js';
import { announce } from '../state/announce.js';
import { mayManage } from '../state/session.js';
import { volumeWords } from '../words/amounts.js';
import { dateTime } from '../words/numbers.js';
import { say } from '../words/say.js';

const LITRE_ML = 1000;

interface Props {
  readonly tank: TankRecord;
  readonly onChanged: () => void;
}

/** Sends a change of a tank; what the server refuses is said. */
function change(tank: TankRecord, fields: object, onChanged: () => void): void {
  const body = { revision: tank.revision, ...fields };
  ask<'changeTank'>('patch', '/tanks/{tank}', { at: { tank: tank.id }, body }).then(
    () => {
      announce(say('tanks.stored', { tank: tank.name }));
      onChanged();
    },
    (error: unknown) => {
      announce(error instanceof Error ? error.message : String(error), 'trouble');
    },
  );
}

/** Renames a tank, or says its volume anew. */
function ChangeTank({ tank, onChanged }: Props): VNode {
  const { volumeMl } = tank;
  const [name, setName] = useState(tank.name);
  const [litres, setLitres] = useState(volumeMl === null ? '' : String(volumeMl / LITRE_ML));
  const number = typedNumber(litres);
  const wrong = litres.trim() !== '' && (number === null || Number(number) <= 0);
  return (
    <form
      class="stack"
      onSubmit={(event) => {
        event.preventDefault();
        if (wrong || name.trim() === '') return;
        change(tank, { name: name.trim(), volumeMl: number === null ? null : Number(number) * LITRE_ML }, onChanged);
      }}
    >
      <div class="columns">
        <TextField label={say('tanks.name')} value={name} onInput={setName} />
        <TextField
          label={say('tanks.volume')}
          unit="L"
          digits
          value={litres}
          wrong={wrong ? say('entry.no-number') : null}
          onInput={setLitres}
        />
      </div>
      <p class="side-by-side">
        <button type="submit" class="button main">
          {say('tanks.store')}
        </button>
        <Button
          look="stern"
          onClick={() => {
            change(tank, { active: !tank.active }, onChanged);
          }}
        >
          {say(tank.active ? 'tanks.retire' : 'tanks.use-again')}
        </Button>
      </p>
    </form>
  );
}

function History({ history }: { readonly history: TankRecord['history'] }): VNode {
  return (
    <ul>
      {history.toReversed().map(({ at, by, name, volumeMl, active, why }) => (
        <li key={at}>
          {dateTime(at)}, {by}: {name}, {volumeMl === null ? say('tanks.no-volume') : volumeWords(volumeMl)}
          {!active && `, ${say('tanks.not-used')}`}
          {why !== null && ` (${why})`}
        </li>
      ))}
    </ul>
  );
}

function Tank({ tank, onChanged }: Props): VNode {
  const { id, name, volumeMl, active, holds, history } = tank;
  const what = say(mayManage.value ? 'tanks.change' : 'tanks.history');
  return (
    <li class="sheet stack">
      <div class="side-by-side spread">
        <h2>
          <a href={writeAddress({ screen: 'tank', id })}>{name}</a>
        </h2>
        <span>{volumeMl === null ? say('tanks.no-volume') : volumeWords(volumeMl)}</span>
        {holds === null ? (
          <span class="soft">{active ? say('tanks.empty') : say('tanks.not-used')}</span>
        ) : (
          <a href={writeAddress({ screen: 'batch', id: holds.id })}>{say('tanks.holds', { batch: holds.name })}</a>
        )}
      </div>
      <details>
        <summary aria-label={say('tanks.more-of', { tank: name, what })}>{what}</summary>
        {mayManage.value && <ChangeTank tank={tank} onChanged={onChanged} />}
        <h3>{say('tanks.history')}</h3>
        <History history={history} />
      </details>
    </li>
  );
}

/** All tanks: to add, to rename, to say their volume, to stop using. */
export function TanksPage(): VNode {
  const { value, trouble, again } = useAnswer(() => ask<'listTankRecords'>('get', '/tank-records'), []);
  const tanks = (value?.tanks ?? []).toSorted(
    (a, b) => Number(b.active) - Number(a.active) || a.name.localeCompare(b.name, 'en', { numeric: true }),
  );
  return (
    <div class="stack page">
      <h1>{say('nav.tanks')}</h1>
      <Trouble text={trouble} />
      <section class="sheet">
        <EntryForm
          kind="tank"
          title={say('tanks.add')}
          go={say('tanks.add')}
          fields={[
            { name: 'tank', label: say('tanks.name'), required: true },
            { name: 'volume_l', label: say('tanks.volume'), unit: 'L', as: 'number' },
            {
              name: 'volume_uncertainty_l',
              label: say('tanks.uncertainty'),
              hint: say('tanks.uncertainty-hint'),
              unit: 'L',
              as: 'number',
            },
            { name: 'note', label: say('tanks.note') },
          ]}
          onKept={again}
        />
      </section>
      <ul class="plain-list">
        {tanks.map((tank) => (
          <Tank key={`${tank.id}-${String(tank.revision)}`} tank={tank} onChanged={again} />
        ))}
      </ul>
    </div>
  );
}
