import type { SpawnLine } from '@veligrid/api';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { EntryForm } from '../entries/entry-form.js';
import { Trouble } from '../parts/trouble.js';
import { useAnswer } from '../parts/use-answer.js';
import { writeAddress } from '../state/address.js';
import { goTo } from '../state/place.js';
import { mayCount, session } from '../state/session.js';
import { dateTime } from '../words/numbers.js';
import { say, sayOr } from '../words/say.js';
import { spawnFields } from './spawn-fields.js';

const namesOf = (list: readonly { readonly name: string }[]): string => list.map(({ name }) => name).join(', ');

function Row({ spawn }: { readonly spawn: SpawnLine }): VNode {
  const { id, name, happenedAt, species, animals, spawned, crosses, batches } = spawn;
  return (
    <li>
      <a class="sheet count" href={writeAddress({ screen: 'spawn', id })}>
        <strong>{name}</strong>
        <span>{dateTime(happenedAt)}</span>
        <span class="soft">{sayOr(`species.${species}`, species)}</span>
        <span>
          {say('spawns.gave', { n: spawned, of: animals })}
          {crosses.length > 0 && `; ${say('spawns.crosses', { names: namesOf(crosses) })}`}
        </span>
        <span>{batches.length > 0 ? say('spawns.batches', { names: namesOf(batches) }) : ''}</span>
      </a>
    </li>
  );
}

/** All spawns, latest first, a form for a new one, and the way to the animals. */
export function SpawnsScreen(): VNode {
  const { value, trouble } = useAnswer(() => ask<'listSpawns'>('get', '/spawns'), []);
  return (
    <div class="stack page">
      <div class="side-by-side spread">
        <h1>{say('spawns.title')}</h1>
        <a class="button" href={writeAddress({ screen: 'animals' })}>
          {say('animals.title')}
        </a>
      </div>
      <Trouble text={trouble} />
      {value?.spawns.length === 0 && <p class="sheet">{say('spawns.none')}</p>}
      <ul class="plain-list">
        {value?.spawns.map((spawn) => (
          <Row key={spawn.id} spawn={spawn} />
        ))}
      </ul>
      {mayCount.value && (
        <details class="sheet" open={value?.spawns.length === 0}>
          <summary>{say('spawn.new')}</summary>
          <EntryForm
            kind="spawn"
            fields={spawnFields()}
            start={{ species: session.value?.settings.species ?? 'eastern-oyster' }}
            go={say('spawn.add')}
            onKept={({ id }) => {
              goTo({ screen: 'spawn', id });
            }}
          />
        </details>
      )}
    </div>
  );
}
