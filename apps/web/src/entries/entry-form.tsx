import type { EntryKind, KeptEntry } from '@veligrid/api';
import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { ask, troubleWords } from '../api/ask.js';
import { Trouble } from '../parts/trouble.js';
import { announce } from '../state/announce.js';
import { mayCount } from '../state/session.js';
import { say } from '../words/say.js';
import { sentFields, wrongIn, type EntryField, type EntryText, type EntryWrong } from './entry-field.js';
import { EntryInputs } from './entry-inputs.js';

interface Props {
  readonly kind: EntryKind;
  readonly fields: readonly EntryField[];
  /** What stands in the fields before anybody types. */
  readonly start?: EntryText;
  /** Sent with it, not asked. */
  readonly always?: EntryText;
  /** Words on the button. */
  readonly go: string;
  /** Title above the fields; none where the page has one. */
  readonly title?: string;
  readonly onKept: (kept: KeptEntry) => void;
}

/**
 * Asks for something that staff enter and keeps it. What was typed stays when it is refused; sent twice with one key,
 * because an answer was lost, it is kept once.
 */
export function EntryForm({ kind, fields, start = {}, always = {}, go, title, onKept }: Props): VNode | null {
  const [text, setText] = useState<EntryText>(start);
  const [wrong, setWrong] = useState<EntryWrong>({});
  const [trouble, setTrouble] = useState<string | null>(null);
  const [sending, setSending] = useState(false);
  const [key, setKey] = useState(() => crypto.randomUUID());
  if (!mayCount.value) return null;
  const send = async (): Promise<void> => {
    const body = { fields: { ...sentFields(fields, text), ...always }, key };
    const kept = await ask<'addEntry'>('post', '/entries/{kind}', { at: { kind }, body });
    setText(start);
    setKey(crypto.randomUUID());
    setTrouble(null);
    announce(say('entry.kept'));
    onKept(kept);
  };
  const submit = (): void => {
    const found = wrongIn(fields, text);
    setWrong(found);
    if (Object.keys(found).length > 0 || sending) return;
    setSending(true);
    send()
      .catch((error: unknown) => {
        setTrouble(troubleWords(error));
      })
      .finally(() => {
        setSending(false);
      });
  };
  return (
    <form
      class="stack"
      noValidate
      aria-label={title ?? go}
      onSubmit={(event) => {
        event.preventDefault();
        submit();
      }}
    >
      {title !== undefined && <h3>{title}</h3>}
      <EntryInputs
        fields={fields}
        text={text}
        wrong={wrong}
        set={(change) => {
          setText((last) => ({ ...last, ...change }));
        }}
      />
      <Trouble text={trouble} />
      <p>
        <button type="submit" class="button main" disabled={sending}>
          {go}
        </button>
      </p>
    </form>
  );
}
