import type { SpawnView } from '@veligrid/api';
import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { EntryForm } from '../entries/entry-form.js';
import { Tick } from '../parts/field.js';
import { Trouble } from '../parts/trouble.js';
import { useAnswer } from '../parts/use-answer.js';
import { say } from '../words/say.js';
import { CrossJudgement } from './cross-judgement.js';
import { atField, maybe, noteField } from './spawn-fields.js';

interface Props {
  readonly view: SpawnView;
  readonly onKept: () => void;
}

/** An animal that gave eggs or sperm. */
interface Giver {
  readonly id: string;
  readonly name: string;
}

/** Animals of a sex that gave something; those whose sex is not known are offered for both. */
function giversOf({ results }: SpawnView, sex: 'female' | 'male'): Giver[] {
  const gave = results.filter(
    (one) =>
      (one.outcome === 'spawned' || one.outcome === 'stripped') &&
      (one.sex === sex || one.sex === 'both' || one.sex === 'unknown'),
  );
  return [...new Map(gave.map((one) => [one.animalId, { id: one.animalId, name: one.animal }])).values()];
}

interface TicksProps {
  readonly legend: string;
  readonly givers: readonly Giver[];
  readonly chosen: readonly string[];
  readonly onChange: (chosen: readonly string[]) => void;
}

function GiverTicks({ legend, givers, chosen, onChange }: TicksProps): VNode {
  return (
    <fieldset>
      <legend>{legend}</legend>
      <div class="side-by-side">
        {givers.map(({ id, name }) => (
          <Tick
            key={id}
            label={name}
            value={chosen.includes(id)}
            onChange={(yes) => {
              onChange(yes ? [...chosen, id] : chosen.filter((one) => one !== id));
            }}
          />
        ))}
      </div>
    </fieldset>
  );
}

interface Chosen {
  readonly dams: readonly string[];
  readonly sires: readonly string[];
  readonly pooledSperm: boolean;
}

const NOBODY: Chosen = { dams: [], sires: [], pooledSperm: false };

/** The first name of the row X1, X2 that no cross of the spawn has. */
function freeName({ crosses }: SpawnView): string {
  const taken = new Set(crosses.map(({ name }) => name.toLowerCase()));
  let n = 1;
  while (taken.has(`x${String(n)}`)) n += 1;
  return `X${String(n)}`;
}

function Judged({ spawnId, chosen }: { readonly spawnId: string; readonly chosen: Chosen }): VNode {
  const { dams, sires, pooledSperm } = chosen;
  const body = { dams: [...dams], sires: [...sires], pooledSperm };
  const { value, trouble } = useAnswer(
    () => ask<'tryCross'>('post', '/spawns/{spawn}/try-cross', { at: { spawn: spawnId }, body }),
    [spawnId, dams.join(), sires.join(), pooledSperm],
  );
  return (
    <>
      <Trouble text={trouble} />
      {value !== null && <CrossJudgement judged={value} />}
    </>
  );
}

interface ChoosingProps {
  readonly view: SpawnView;
  readonly chosen: Chosen;
  readonly set: (change: Partial<Chosen>) => void;
}

function Choosing({ view, chosen, set }: ChoosingProps): VNode {
  const [females, males] = [giversOf(view, 'female'), giversOf(view, 'male')];
  if (females.length === 0 || males.length === 0) return <p>{say('cross.nobody')}</p>;
  return (
    <>
      <div class="columns">
        <GiverTicks
          legend={say('cross.dams')}
          givers={females}
          chosen={chosen.dams}
          onChange={(dams) => {
            set({ dams });
          }}
        />
        <GiverTicks
          legend={say('cross.sires')}
          givers={males}
          chosen={chosen.sires}
          onChange={(sires) => {
            set({ sires });
          }}
        />
      </div>
      {chosen.sires.length > 1 && (
        <Tick
          label={say('cross.pooled-tick')}
          value={chosen.pooledSperm}
          onChange={(pooledSperm) => {
            set({ pooledSperm });
          }}
        />
      )}
    </>
  );
}

/** Chooses who gives eggs and who gives sperm, sees what the cross would be worth, and records it. */
export function NewCross({ view, onKept }: Props): VNode {
  const [chosen, setChosen] = useState<Chosen>(NOBODY);
  const ready = chosen.dams.length > 0 && chosen.sires.length > 0;
  const set = (change: Partial<Chosen>): void => {
    setChosen((last) => ({ ...last, ...change }));
  };
  return (
    <div class="stack">
      <h3>{say('cross.new')}</h3>
      <Choosing view={view} chosen={chosen} set={set} />
      {ready && <Judged spawnId={view.spawn.id} chosen={chosen} />}
      {ready && (
        <EntryForm
          kind="cross"
          fields={[
            { name: 'cross', label: say('cross.called'), required: true },
            maybe('eggs', 'cross.eggs', { as: 'number' }),
            maybe('sperm', 'cross.sperm', { as: 'number' }),
            { ...atField(), label: say('cross.at') },
            noteField(),
          ]}
          start={{ cross: freeName(view) }}
          always={{
            spawn: view.spawn.id,
            dams: chosen.dams.join(';'),
            sires: chosen.sires.join(';'),
            ...(chosen.pooledSperm && chosen.sires.length > 1 ? { pooled_sperm: 'yes' } : {}),
          }}
          go={say('cross.add')}
          onKept={() => {
            setChosen(NOBODY);
            onKept();
          }}
        />
      )}
    </div>
  );
}
