import type { Animal, SpawnView } from '@veligrid/api';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { Trouble } from '../parts/trouble.js';
import { Waiting } from '../parts/waiting.js';
import { useAnswer } from '../parts/use-answer.js';
import { temperatureWords } from '../words/amounts.js';
import { dateTime } from '../words/numbers.js';
import { say, sayOr } from '../words/say.js';
import { CrossesSection } from './crosses-section.js';
import { FertilisationSection } from './fertilisation-section.js';
import { BatchForm } from './batch-form.js';
import { ResultsSection } from './results-section.js';

interface Both {
  readonly view: SpawnView;
  readonly animals: readonly Animal[];
}

async function look(id: string): Promise<Both> {
  const [view, { animals }] = await Promise.all([
    ask<'getSpawn'>('get', '/spawns/{spawn}', { at: { spawn: id } }),
    ask<'listAnimals'>('get', '/animals'),
  ]);
  return { view, animals };
}

/** The cue with its temperatures, in one line. */
function cueWords({ cue, ambientC, raisedC }: SpawnView['spawn']): string {
  const warmed =
    ambientC !== null && raisedC !== null
      ? say('spawn.from-to', { from: temperatureWords(ambientC), to: temperatureWords(raisedC) })
      : raisedC !== null
        ? temperatureWords(raisedC)
        : '';
  return [cue, warmed].filter((one) => one !== '').join(', ');
}

function About({ spawn }: { readonly spawn: SpawnView['spawn'] }): VNode {
  const { happenedAt, endedAt, species, note, by } = spawn;
  return (
    <dl class="about-count">
      <div>
        <dt>{say('spawn.cue-at')}</dt>
        <dd>{dateTime(happenedAt)}</dd>
      </div>
      {endedAt !== null && (
        <div>
          <dt>{say('spawn.ended')}</dt>
          <dd>{dateTime(endedAt)}</dd>
        </div>
      )}
      <div>
        <dt>{say('spawn.cue')}</dt>
        <dd>{cueWords(spawn) || '–'}</dd>
      </div>
      <div>
        <dt>{say('spawn.species')}</dt>
        <dd>{sayOr(`species.${species}`, species)}</dd>
      </div>
      <div>
        <dt>{say('spawn.by')}</dt>
        <dd>{by}</dd>
      </div>
      {note !== '' && (
        <div>
          <dt>{say('entry.note')}</dt>
          <dd>{note}</dd>
        </div>
      )}
    </dl>
  );
}

/** One spawn: what each animal gave, crosses judged before they are made, batches, and whether it took. */
export function SpawnScreen({ id }: { readonly id: string }): VNode {
  const { value, trouble, again } = useAnswer(() => look(id), [id]);
  if (value === null) return <Waiting trouble={trouble} />;
  const { view, animals } = value;
  return (
    <div class="stack page">
      <h1>{view.spawn.name}</h1>
      <Trouble text={trouble} />
      <section class="sheet">
        <About spawn={view.spawn} />
      </section>
      <ResultsSection view={view} animals={animals} onChanged={again} />
      <CrossesSection view={view} onChanged={again} />
      {view.crosses.length > 0 && <BatchForm view={view} onKept={again} />}
      {view.batches.length > 0 && <FertilisationSection view={view} />}
    </div>
  );
}
