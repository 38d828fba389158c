import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import type { EntryField } from '../entries/entry-field.js';
import { EntryForm } from '../entries/entry-form.js';
import { Cautions } from '../parts/cautions.js';
import { Trouble } from '../parts/trouble.js';
import { useAnswer } from '../parts/use-answer.js';
import { goTo } from '../state/place.js';
import { say } from '../words/say.js';
import { atField, noteField } from '../spawns/spawn-fields.js';

const STAGES = [
  'egg',
  'fertilised-egg',
  'two-cell',
  'four-cell',
  'morula',
  'blastula',
  'gastrula',
  'trochophore',
  'd-larva',
  'umbo',
  'eyed',
  'pediveliger',
  'unsure',
] as const;

const STATES = ['live', 'chilled', 'fixed'] as const;

const fieldsOf = (tanks: readonly string[]): EntryField[] => [
  { name: 'tank', label: say('begin.tank'), list: tanks, required: true },
  { ...atField(), label: say('begin.taken-at') },
  {
    name: 'container_ml',
    label: say('begin.container'),
    hint: say('eye.container-hint'),
    unit: 'mL',
    as: 'number',
    required: true,
  },
  { name: 'counts', label: say('eye.counts'), hint: say('eye.counts-hint'), required: true },
  { name: 'dead', label: say('eye.dead'), hint: say('eye.dead-hint') },
  { name: 'volume_ml', label: say('eye.volume'), unit: 'mL', as: 'number', required: true },
  { name: 'taken_ml', label: say('eye.taken'), hint: say('begin.optional'), unit: 'mL', as: 'number' },
  { name: 'made_up_to_ml', label: say('begin.made-up-to'), hint: say('eye.made-hint'), unit: 'mL', as: 'number' },
  {
    name: 'stage',
    label: say('eye.stage'),
    as: 'choice',
    options: STAGES.map((value) => ({ value, label: say(`stage.${value}`) })),
  },
  { name: 'lengths_um', label: say('eye.lengths'), hint: say('eye.lengths-hint'), unit: 'µm' },
  {
    name: 'state',
    label: say('begin.condition'),
    as: 'choice',
    options: STATES.map((value) => ({ value, label: say(`condition.${value}`) })),
  },
  { name: 'fixative', label: say('begin.fixative'), hint: say('eye.fixative-hint') },
  noteField(),
];

/** A count made at the microscope without photos: who enters it stands for it. */
export function ByEyeScreen(): VNode {
  const { value, trouble } = useAnswer(() => ask<'listTanks'>('get', '/tanks'), []);
  return (
    <div class="stack page">
      <h1>{say('eye.title')}</h1>
      <p>{say('eye.how')}</p>
      <Trouble text={trouble} />
      {value !== null && (
        <section class="sheet stack">
          <EntryForm
            kind="count"
            fields={fieldsOf(value.tanks.map(({ name }) => name))}
            start={{ stage: 'd-larva', state: 'live' }}
            go={say('eye.add')}
            onKept={({ id }) => {
              goTo({ screen: 'after', id });
            }}
          />
          <Cautions codes={['fixed-samples']} />
        </section>
      )}
    </div>
  );
}
