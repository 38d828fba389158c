import type { SpawnView } from '@veligrid/api';
import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { typedNumber } from '../entries/entry-field.js';
import { EntryForm } from '../entries/entry-form.js';
import { TextField } from '../parts/field.js';
import { mayCount } from '../state/session.js';
import { say } from '../words/say.js';
import { noteField } from './spawn-fields.js';

interface Props {
  readonly view: SpawnView;
  readonly onKept: () => void;
}

type Cross = SpawnView['crosses'][number];

/** Eggs of a cross that is in no batch yet, as they would be typed; what is left of others is asked. */
const leftOf = ({ eggs, batches }: Cross): string =>
  eggs === null || batches.length > 0 ? '' : String(Math.round(eggs));

/** Begins a batch of the crosses of a spawn, each with the eggs of it that go in. */
export function BatchForm({ view, onKept }: Props): VNode | null {
  const [eggs, setEggs] = useState<Readonly<Record<string, string>>>({});
  if (!mayCount.value) return null;
  const eggsOf = (cross: Cross): string => eggs[cross.id] ?? leftOf(cross);
  const used = view.crosses.filter((cross) => !['', '0'].includes(eggsOf(cross).trim()));
  const crosses = used.map((cross) => `${cross.id}=${typedNumber(eggsOf(cross)) ?? eggsOf(cross)}`);
  return (
    <section class="sheet stack">
      <h2>{say('batch.new')}</h2>
      <p class="soft">{say('batch.new-how')}</p>
      <div class="columns">
        {view.crosses.map((cross) => (
          <TextField
            key={cross.id}
            label={say('batch.eggs-of', { cross: cross.name })}
            hint={say('batch.eggs-hint')}
            digits
            value={eggsOf(cross)}
            wrong={eggsOf(cross).trim() !== '' && typedNumber(eggsOf(cross)) === null ? say('entry.no-number') : null}
            onInput={(value) => {
              setEggs((last) => ({ ...last, [cross.id]: value }));
            }}
          />
        ))}
      </div>
      <EntryForm
        kind="batch"
        fields={[{ name: 'batch', label: say('batch.called'), required: true }, noteField()]}
        always={{ crosses: crosses.join(';'), species: view.spawn.species }}
        go={say('batch.add')}
        onKept={() => {
          setEggs({});
          onKept();
        }}
      />
    </section>
  );
}
