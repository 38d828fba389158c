import type { KeptEntry } from '@veligrid/api';
import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { Cautions } from '../parts/cautions.js';
import { Choice } from '../parts/field.js';
import { Trouble } from '../parts/trouble.js';
import { useAnswer, type Answered } from '../parts/use-answer.js';
import { mayCount } from '../state/session.js';
import { dateTime } from '../words/numbers.js';
import { say } from '../words/say.js';
import type { EntryText } from './entry-field.js';
import { EntryForm } from './entry-form.js';
import { comesIn, MOVE_CHOICES, moveFields, type MoveChoice, type MoveSuggestions } from './move-fields.js';

/** A tank or batch that the page is about. */
export interface KnownName {
  readonly id: string;
  readonly name: string;
}

interface Props {
  /** Tank that animals leave, or come into when they are stocked; asked for when it is not known. */
  readonly tank?: KnownName | null;
  /** Batch that comes in; asked for when it is not known. */
  readonly batch?: KnownName | null;
  /** Default: all kinds. The first is chosen at first. */
  readonly kinds?: readonly MoveChoice[];
  /** Suggested values by field. */
  readonly start?: EntryText;
  readonly onKept: (kept: KeptEntry) => void;
}

async function suggestionsFor(tank: KnownName | null, batch: KnownName | null): Promise<MoveSuggestions> {
  const query = { state: 'signed-off' as const, ...(tank === null ? {} : { tank: tank.id }) };
  const ofBatch = batch === null ? query : { ...query, batch: batch.id };
  const counted =
    tank === null && batch === null ? { samples: [] } : await ask<'listSamples'>('get', '/samples', { query: ofBatch });
  const [{ tanks }, { batches }] = await Promise.all([
    ask<'listTanks'>('get', '/tanks'),
    ask<'listBatches'>('get', '/batches'),
  ]);
  return {
    tanks: tanks.map(({ name }) => name),
    batches: batches.map(({ name }) => name),
    counts: counted.samples.map(({ id, tankName, takenAt }) => ({
      value: id,
      label: say('move.count-of', { tank: tankName, when: dateTime(takenAt) }),
    })),
  };
}

/** Names for the fields, asked for when the form opens. */
const useSuggestions = (tank: KnownName | null, batch: KnownName | null): Answered<MoveSuggestions> =>
  useAnswer(() => suggestionsFor(tank, batch), [tank?.id, batch?.id]);

/** What is known goes along without being asked. */
function alwaysOf(kind: MoveChoice, tank: KnownName | null, batch: KnownName | null): EntryText {
  const inward = comesIn(kind);
  return {
    ...(kind === 'set' ? {} : { kind }),
    ...(tank === null ? {} : { [inward ? 'to' : 'from']: tank.name }),
    ...(inward && batch !== null ? { batch: batch.name } : {}),
  };
}

/** Moving live animals and fixed samples each have their caution. */
function cautionsOf(kind: MoveChoice): readonly string[] {
  if (kind === 'ship' || kind === 'stock') return ['moving-live-animals'];
  return kind === 'sample' || kind === 'return' ? ['fixed-samples'] : [];
}

/** Records that animals came, went or changed tanks, with what each kind of move asks for. */
export function MoveForm({ tank = null, batch = null, kinds = MOVE_CHOICES, start, onKept }: Props): VNode | null {
  const [kind, setKind] = useState<MoveChoice>(kinds[0] ?? 'drop');
  const { value, trouble, again } = useSuggestions(tank, batch);
  if (!mayCount.value) return null;
  if (value === null) return <Trouble text={trouble} />;
  const known = { tank: tank !== null, batch: batch !== null };
  return (
    <div class="stack">
      {kinds.length > 1 && (
        <Choice
          label={say('move.kind')}
          hint={say(`move.about.${kind}`)}
          value={kind}
          options={kinds.map((one) => ({ value: one, label: say(`move.${one}`) }))}
          onChange={setKind}
        />
      )}
      <EntryForm
        kind={kind === 'set' ? 'setting' : 'move'}
        fields={moveFields(kind, value, known)}
        {...(start === undefined ? {} : { start })}
        always={alwaysOf(kind, tank, batch)}
        go={say('move.go', { what: say(`move.${kind}`) })}
        onKept={(kept) => {
          again();
          onKept(kept);
        }}
      />
      <Cautions codes={cautionsOf(kind)} />
    </div>
  );
}
