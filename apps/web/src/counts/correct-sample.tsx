import type { Sample, SampleChange } from '@veligrid/api';
import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { TextField } from '../parts/field.js';
import { Trouble } from '../parts/trouble.js';
import { useAnswer } from '../parts/use-answer.js';
import { announce } from '../state/announce.js';
import type { OpenSample } from '../state/open-sample.js';
import { mayCount } from '../state/session.js';
import { settings } from '../state/settings.js';
import { dateTime } from '../words/numbers.js';
import { say } from '../words/say.js';
import { correctionOf, correctionText, type CorrectionText, type FillingText } from './corrections.js';
import { StepFields } from './step-fields.js';

interface FieldsProps {
  readonly text: CorrectionText;
  readonly set: (change: Partial<CorrectionText>) => void;
}

function FillingFields({
  filling,
  name,
  onChange,
}: {
  readonly filling: FillingText;
  readonly name: string;
  readonly onChange: (filling: FillingText) => void;
}): VNode {
  return (
    <fieldset class="stack">
      <legend>{name}</legend>
      <StepFields
        steps={filling.steps}
        wrong={null}
        onChange={(steps) => {
          onChange({ ...filling, steps });
        }}
      />
      {filling.wholeSlideMl !== null && (
        <TextField
          label={say('begin.whole-slide')}
          unit="mL"
          digits
          value={filling.wholeSlideMl}
          onInput={(wholeSlideMl) => {
            onChange({ ...filling, wholeSlideMl });
          }}
        />
      )}
    </fieldset>
  );
}

function Fields({ text, set }: FieldsProps): VNode {
  return (
    <>
      <div class="columns">
        <TextField
          label={say('begin.container')}
          unit={say(`unit.${settings.value.volumeUnit}`)}
          digits
          value={text.container}
          onInput={(container) => {
            set({ container });
          }}
        />
        <TextField
          label={say('correct.note')}
          value={text.note}
          onInput={(note) => {
            set({ note });
          }}
        />
      </div>
      <div class="columns">
        {text.fillings.map((filling, i) => (
          <FillingFields
            key={i}
            filling={filling}
            name={say('photos.filling-n', { name: i + 1 })}
            onChange={(next) => {
              set({ fillings: text.fillings.with(i, next) });
            }}
          />
        ))}
      </div>
      <TextField
        label={say('correct.why')}
        hint={say('correct.why-hint')}
        value={text.why}
        required
        onInput={(why) => {
          set({ why });
        }}
      />
    </>
  );
}

function Form({ open, sample }: { readonly open: OpenSample; readonly sample: Sample }): VNode {
  const unit = settings.value.volumeUnit;
  const [text, setText] = useState(() => correctionText(sample, unit));
  const [trouble, setTrouble] = useState<string | null>(null);
  const store = (): void => {
    const body = correctionOf(text, unit);
    if (typeof body === 'string') {
      setTrouble(say(body));
      return;
    }
    const ifMatch = `"${sample.revision}"`;
    ask<'changeSample'>('patch', '/samples/{sample}', { at: { sample: open.id }, body, ifMatch }).then(
      () => {
        announce(say('correct.stored'));
        void open.reload();
      },
      (error: unknown) => {
        setTrouble(error instanceof Error ? error.message : String(error));
        void open.reload();
      },
    );
  };
  return (
    <form
      class="stack"
      onSubmit={(event) => {
        event.preventDefault();
        store();
      }}
    >
      <Fields
        text={text}
        set={(change) => {
          setText({ ...text, ...change });
        }}
      />
      <Trouble text={trouble} />
      <p>
        <button type="submit" class="button main">
          {say('correct.store')}
        </button>
      </p>
    </form>
  );
}

function shown(value: SampleChange['changed'][number]['after']): string {
  return value === null || value === '' ? '–' : String(value);
}

function Corrections({ open, revision }: { readonly open: OpenSample; readonly revision: number }): VNode | null {
  const { value } = useAnswer(
    () => ask<'getSampleHistory'>('get', '/samples/{sample}/history', { at: { sample: open.id } }),
    [revision],
  );
  if (value === null || value.changes.length === 0) return null;
  return (
    <>
      <h3>{say('correct.history')}</h3>
      <ol class="stack">
        {value.changes.map(({ by, at, why, changed }) => (
          <li key={`${at} ${changed[0]?.what} ${changed[0]?.filling}`}>
            <strong>
              {dateTime(at)}, {by}
            </strong>
            {why !== null && `: ${why}`}
            {changed.map(({ what, filling, before, after }) => (
              <div key={what} class="small">
                {filling !== null && `${say('photos.filling-n', { name: filling })}, `}
                {say(`correct.${what}`)}: {shown(before)} → {shown(after)}
              </div>
            ))}
          </li>
        ))}
      </ol>
    </>
  );
}

/** What was noted of the sample, to be corrected with a reason; what it was before stays in the records. */
export function CorrectSample({ open }: { readonly open: OpenSample }): VNode | null {
  const sample = open.sample.value;
  if (sample === null) return null;
  const signed = sample.state === 'signed-off';
  return (
    <details class="sheet">
      <summary>{say('correct.title')}</summary>
      <div class="stack">
        {signed && <p>{say('decide.signed-off')}</p>}
        {!signed && mayCount.value && <Form key={sample.revision} open={open} sample={sample} />}
        <Corrections open={open} revision={sample.revision} />
      </div>
    </details>
  );
}
