import type { Happening, StandingEntry } from '@veligrid/api';
import { useEffect, useRef } from 'preact/hooks';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { CorrectEntry } from '../entries/correct-entry.js';
import type { EntryField, EntryText } from '../entries/entry-field.js';
import { Button } from '../parts/button.js';
import { Trouble } from '../parts/trouble.js';
import { useAnswer } from '../parts/use-answer.js';
import { dateTime, localTime } from '../words/numbers.js';
import { say, sayOr } from '../words/say.js';
import { entryTitle } from './entry-names.js';

/** An entry that is looked at. */
export interface OpenEntry {
  readonly kind: string;
  readonly id: string;
  readonly of: Pick<Happening, 'kind' | 'at'>;
}

interface Props {
  readonly entry: OpenEntry;
  readonly onClose: () => void;
  /** Something was corrected or taken back. */
  readonly onChanged: () => void;
}

const TIMES: readonly string[] = ['at', 'ended_at'];
const TEXTS: readonly string[] = [
  ...['name', 'line', 'origin', 'selected_for', 'dam', 'sire'],
  ...['cue', 'cultch', 'place', 'note'],
];
const CHOICES: Readonly<Record<string, readonly string[]>> = {
  sex: ['female', 'male', 'both', 'unknown'],
  species: ['eastern-oyster', 'pacific-oyster', 'hard-clam'],
};

/** What was said of a field, in the language on screen where it is one of our own names. */
const saidWords = (name: string, text: string): string => (name in CHOICES ? sayOr(`${name}.${text}`, text) : text);

function fieldOf(name: string): EntryField {
  const about = { name, label: sayOr(`said.${name}`, name) };
  const choices = CHOICES[name];
  if (choices !== undefined) {
    return { ...about, as: 'choice', options: choices.map((value) => ({ value, label: saidWords(name, value) })) };
  }
  return { ...about, as: TIMES.includes(name) ? 'time' : TEXTS.includes(name) ? 'text' : 'number' };
}

/** What stands, as it would be typed. */
const startOf = ({ fields }: StandingEntry): EntryText =>
  Object.fromEntries(
    Object.entries(fields).map(([name, text]) => [
      name,
      TIMES.includes(name) && text !== '' ? localTime(new Date(text)) : text,
    ]),
  );

/** Everything that was said of an entry, first to last. */
function Versions({ entry }: { readonly entry: StandingEntry }): VNode {
  return (
    <div>
      <h3>{say('entry.versions')}</h3>
      <ol class="small">
        {entry.versions.map(({ by, at, why, withdrawn, fields }) => (
          <li key={at + by}>
            {why === null
              ? say('entry.said', { by, when: dateTime(at) })
              : say('entry.said-why', { by, when: dateTime(at), why })}
            {withdrawn && ` (${say('entry.taken-back')})`}
            <br />
            <span class="soft">
              {Object.entries(fields)
                .filter(([name, text]) => text !== '' && !TIMES.includes(name))
                .map(([name, text]) => `${sayOr(`said.${name}`, name)}: ${saidWords(name, text)}`)
                .join(' · ')}
            </span>
          </li>
        ))}
      </ol>
    </div>
  );
}

/** One entry of the record: what was said, with correcting it and taking it back. */
export function EntryDialog({ entry: { kind, id, of }, onClose, onChanged }: Props): VNode {
  const dialog = useRef<HTMLDialogElement>(null);
  const { value, trouble } = useAnswer(
    () => ask<'getEntry'>('get', '/entries/{kind}/{entry}', { at: { kind, entry: id } }),
    [kind, id],
  );
  useEffect(() => {
    dialog.current?.showModal();
  }, []);
  return (
    <dialog ref={dialog} aria-labelledby="entry-title" onClose={onClose}>
      <div class="stack">
        <div class="side-by-side spread">
          <h2 id="entry-title">{entryTitle(of)}</h2>
          <Button look="quiet" onClick={() => dialog.current?.close()}>
            {say('entry.close')}
          </Button>
        </div>
        <Trouble text={trouble} />
        {value !== null && (
          <>
            <Versions entry={value} />
            <CorrectEntry
              entry={{ kind, id, version: value.version }}
              fields={Object.keys(value.fields).map(fieldOf)}
              start={startOf(value)}
              onChanged={() => {
                dialog.current?.close();
                onChanged();
              }}
            />
          </>
        )}
      </div>
    </dialog>
  );
}
