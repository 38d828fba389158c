import type { Animal, SpawnView } from '@veligrid/api';
import type { VNode } from 'preact';
import { EntryForm } from '../entries/entry-form.js';
import { Cautions } from '../parts/cautions.js';
import { ScrollX } from '../parts/scroll-x.js';
import { writeAddress } from '../state/address.js';
import { mayCount } from '../state/session.js';
import { dateTime, threeFigures } from '../words/numbers.js';
import { say } from '../words/say.js';
import { CorrectButton } from './correct-button.js';
import { resultFields } from './spawn-fields.js';

interface Props {
  readonly view: SpawnView;
  readonly animals: readonly Animal[];
  readonly onChanged: () => void;
}

const number = (value: number | null): string => (value === null ? '–' : threeFigures(value));

function Table({ view, onChanged }: Omit<Props, 'animals'>): VNode {
  return (
    <ScrollX label={say('spawn.results')}>
      <table class="even">
        <thead>
          <tr>
            <th scope="col">{say('animal.tag')}</th>
            <th scope="col">{say('spawn.outcome')}</th>
            <th scope="col">{say('spawn.sex')}</th>
            <th scope="col" class="number">
              {say('spawn.ml')}
            </th>
            <th scope="col" class="number">
              {say('spawn.counted')}
            </th>
            <th scope="col">{say('entry.at')}</th>
            <th scope="col">{say('spawn.by')}</th>
            <td />
          </tr>
        </thead>
        <tbody>
          {view.results.map((one) => (
            <tr key={one.id}>
              <th scope="row">
                <a class="in-line" href={writeAddress({ screen: 'animals', animal: one.animalId })}>
                  {one.animal}
                </a>{' '}
                <span class="soft small">{one.line}</span>
              </th>
              <td>{say(`outcome.${one.outcome}`)}</td>
              <td>{say(`sex.${one.sex}`)}</td>
              <td class="number">{number(one.gameteMl)}</td>
              <td class="number">{number(one.gametes)}</td>
              <td>{dateTime(one.happenedAt)}</td>
              <td>{one.by}</td>
              <td>
                <CorrectButton
                  kind="spawn-result"
                  id={one.id}
                  at={one.happenedAt}
                  of={one.animal}
                  onChanged={onChanged}
                />
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </ScrollX>
  );
}

/** What each animal did and gave. */
export function ResultsSection({ view, animals, onChanged }: Props): VNode {
  const there = animals.filter(({ species }) => species === view.spawn.species).map(({ name }) => name);
  return (
    <section class="sheet stack">
      <h2>{say('spawn.results')}</h2>
      {view.results.length === 0 ? <p>{say('spawn.no-results')}</p> : <Table view={view} onChanged={onChanged} />}
      {mayCount.value && animals.length === 0 && (
        <p>
          {say('spawn.no-animals')} <a href={writeAddress({ screen: 'animals' })}>{say('animals.title')}</a>
        </p>
      )}
      {animals.length > 0 && (
        <EntryForm
          kind="spawn-result"
          title={say('spawn.result-new')}
          fields={resultFields(there)}
          start={{ outcome: 'spawned', sex: 'female' }}
          always={{ spawn: view.spawn.id }}
          go={say('spawn.result-add')}
          onKept={onChanged}
        />
      )}
      <p class="note">{say('spawn.strip-caution')}</p>
      <Cautions codes={['drugs-for-food-fish']} />
    </section>
  );
}
