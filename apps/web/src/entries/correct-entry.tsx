import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { Button } from '../parts/button.js';
import { Trouble } from '../parts/trouble.js';
import { announce } from '../state/announce.js';
import { mayCount } from '../state/session.js';
import { say } from '../words/say.js';
import { sentFields, wrongIn, type EntryField, type EntryText, type EntryWrong } from './entry-field.js';
import { EntryInputs } from './entry-inputs.js';

/** An entry as it stands. */
export interface EntryShown {
  /** For example `move`. */
  readonly kind: string;
  readonly id: string;
  /** The version on screen: somebody else's later correction is never overwritten. */
  readonly version: number;
}

interface Props {
  readonly entry: EntryShown;
  /** Fields that can be said anew. */
  readonly fields: readonly EntryField[];
  /** What stands now, as it would be typed. */
  readonly start: EntryText;
  readonly onChanged: () => void;
}

const WHY = 'why';

const whyField = (): EntryField => ({
  name: WHY,
  label: say('correct.why'),
  hint: say('correct.why-hint'),
  required: true,
});

/** Only what was changed; what was emptied is sent as empty, which takes it away. */
function changesOf(fields: readonly EntryField[], start: EntryText, text: EntryText): Record<string, string> {
  const touched = fields.filter(({ name }) => (text[name] ?? '') !== (start[name] ?? ''));
  const said = sentFields(touched, text);
  return Object.fromEntries(touched.map(({ name }) => [name, said[name] ?? '']));
}

/** Waits for the server: a message when it is stored, the reason when it is refused. */
function stored(work: Promise<unknown>, onChanged: () => void, onRefused: (why: string) => void): void {
  work.then(
    () => {
      announce(say('correct.stored'));
      onChanged();
    },
    (error: unknown) => {
      onRefused(error instanceof Error ? error.message : String(error));
    },
  );
}

/** Corrects an entry, or takes it back, with a reason; what was said before stays in the record. */
export function CorrectEntry({ entry: { kind, id, version }, fields, start, onChanged }: Props): VNode | null {
  const [text, setText] = useState<EntryText>(start);
  const [wrong, setWrong] = useState<EntryWrong>({});
  const [trouble, setTrouble] = useState<string | null>(null);
  if (!mayCount.value) return null;
  const asked = [...fields, whyField()];
  const why = (text[WHY] ?? '').trim();
  const at = { kind, entry: id };
  const checked = (act: () => void): void => {
    const found = wrongIn(asked, text);
    setWrong(found);
    if (Object.keys(found).length === 0) act();
  };
  return (
    <form
      class="stack"
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        checked(() => {
          const changes = changesOf(fields, start, text);
          const body = { version, changes, why };
          stored(ask<'correctEntry'>('post', '/entries/{kind}/{entry}/correct', { at, body }), onChanged, setTrouble);
        });
      }}
    >
      <EntryInputs
        fields={asked}
        text={text}
        wrong={wrong}
        set={(change) => {
          setText((last) => ({ ...last, ...change }));
        }}
      />
      <Trouble text={trouble} />
      <div class="side-by-side">
        <button type="submit" class="button main">
          {say('correct.store')}
        </button>
        <Button
          look="stern"
          onClick={() => {
            checked(() => {
              const body = { version, why };
              stored(
                ask<'takeBackEntry'>('post', '/entries/{kind}/{entry}/take-back', { at, body }),
                onChanged,
                setTrouble,
              );
            });
          }}
        >
          {say('entry.take-back')}
        </Button>
      </div>
    </form>
  );
}
