import type { Animal } from '@veligrid/api';
import { useEffect, useRef } from 'preact/hooks';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { EntryForm } from '../entries/entry-form.js';
import { Cautions } from '../parts/cautions.js';
import { ScrollX } from '../parts/scroll-x.js';
import { Trouble } from '../parts/trouble.js';
import { useAnswer } from '../parts/use-answer.js';
import { writeAddress } from '../state/address.js';
import { mayCount, session } from '../state/session.js';
import { say } from '../words/say.js';
import { CorrectButton } from './correct-button.js';
import { animalFields, maybe, noteField } from './spawn-fields.js';

const parentWords = ({ parents }: Animal): string =>
  parents === null
    ? say('animal.parents-unknown')
    : say('animal.parents-of', { dam: parents.dam || '?', sire: parents.sire || '?' });

const orDash = (text: string): string => (text === '' ? '–' : text);

interface RowProps {
  readonly animal: Animal;
  /** It is the one that somebody came for. */
  readonly marked: boolean;
  readonly onChanged: () => void;
}

/** What was said of an animal and of its parents, each to be corrected. */
function Correcting({ animal: { id, name, addedAt, parents }, onChanged }: Omit<RowProps, 'marked'>): VNode {
  return (
    <>
      <CorrectButton kind="animal" id={id} at={addedAt} of={name} onChanged={onChanged} />
      {parents !== null && (
        <CorrectButton
          kind="parents"
          id={parents.id}
          at={addedAt}
          of={say('animal.parents-of-whom', { name })}
          words={say('animal.parents')}
          onChanged={onChanged}
        />
      )}
    </>
  );
}

function AnimalRow({ animal, marked, onChanged }: RowProps): VNode {
  const row = useRef<HTMLTableRowElement>(null);
  useEffect(() => {
    if (marked) row.current?.scrollIntoView({ block: 'center' });
  }, [marked]);
  return (
    <tr ref={row} class={marked ? 'marked' : undefined} aria-current={marked ? 'true' : undefined}>
      <th scope="row">{animal.name}</th>
      <td data-head={say('spawn.sex')}>{say(`sex.${animal.sex}`)}</td>
      <td data-head={say('animal.line')}>{orDash(animal.line)}</td>
      <td data-head={say('animal.origin')}>{orDash(animal.origin)}</td>
      <td data-head={say('animal.selected-for')}>{orDash(animal.selectedFor)}</td>
      <td data-head={say('animal.parents')}>{parentWords(animal)}</td>
      <td data-head={say('animal.spawned')}>
        {animal.spawned.length === 0 && '–'}
        {animal.spawned.map(({ id, name }) => (
          <a key={id} class="in-line" href={writeAddress({ screen: 'spawn', id })}>
            {name}
          </a>
        ))}
      </td>
      <td>
        <Correcting animal={animal} onChanged={onChanged} />
      </td>
    </tr>
  );
}

const HEADS = [
  'animal.tag',
  'spawn.sex',
  'animal.line',
  'animal.origin',
  'animal.selected-for',
  'animal.parents',
  'animal.spawned',
] as const;

interface TableProps {
  readonly animals: readonly Animal[];
  readonly marked: string | null;
  readonly onChanged: () => void;
}

function AnimalTable({ animals, marked, onChanged }: TableProps): VNode {
  return (
    <section class="sheet">
      <ScrollX label={say('animals.title')}>
        <table class="stacked">
          <thead>
            <tr>
              {HEADS.map((head) => (
                <th key={head} scope="col">
                  {say(head)}
                </th>
              ))}
              <td />
            </tr>
          </thead>
          <tbody>
            {animals.map((animal) => (
              <AnimalRow key={animal.id} animal={animal} marked={animal.id === marked} onChanged={onChanged} />
            ))}
          </tbody>
        </table>
      </ScrollX>
    </section>
  );
}

interface FormsProps {
  readonly animals: readonly Animal[];
  readonly onKept: () => void;
}

function Forms({ animals, onKept }: FormsProps): VNode {
  const tags = animals.map(({ name }) => name);
  const lines = [...new Set(animals.map(({ line }) => line).filter((line) => line !== ''))];
  const without = animals.filter(({ parents }) => parents === null).map(({ name }) => name);
  return (
    <>
      <section class="sheet stack">
        <EntryForm
          kind="animal"
          title={say('animal.new')}
          fields={animalFields(tags, lines)}
          start={{ sex: 'unknown', species: session.value?.settings.species ?? 'eastern-oyster' }}
          go={say('animal.add')}
          onKept={onKept}
        />
        <Cautions codes={['moving-live-animals']} />
      </section>
      {without.length > 0 && (
        <details class="sheet">
          <summary>{say('animal.parents-learned')}</summary>
          <EntryForm
            kind="parents"
            fields={[
              { name: 'animal', label: say('animal.tag'), list: without, required: true },
              maybe('dam', 'animal.dam', { list: tags }),
              maybe('sire', 'animal.sire', { list: tags }),
              noteField(),
            ]}
            go={say('animal.add-parents')}
            onKept={onKept}
          />
        </details>
      )}
    </>
  );
}

/**
 * Animals that are kept to spawn: their lines and parents, and a form for a new one.
 *
 * @param props.marked id of the animal that the address names
 */
export function AnimalsScreen({ marked }: Pick<TableProps, 'marked'>): VNode {
  const { value, trouble, again } = useAnswer(() => ask<'listAnimals'>('get', '/animals'), []);
  return (
    <div class="stack page">
      <div class="side-by-side spread">
        <h1>{say('animals.title')}</h1>
        <a class="button" href={writeAddress({ screen: 'spawns' })}>
          {say('nav.spawns')}
        </a>
      </div>
      <Trouble text={trouble} />
      {value?.animals.length === 0 && <p class="sheet">{say('animals.none')}</p>}
      {value !== null && value.animals.length > 0 && (
        <AnimalTable animals={value.animals} marked={marked} onChanged={again} />
      )}
      {value !== null && mayCount.value && <Forms animals={value.animals} onKept={again} />}
    </div>
  );
}
