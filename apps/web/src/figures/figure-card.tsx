import type { FigureList } from '@veligrid/api';
import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { Button } from '../parts/button.js';
import { TextField } from '../parts/field.js';
import { Trouble } from '../parts/trouble.js';
import { announce } from '../state/announce.js';
import { mayManage } from '../state/session.js';
import { dateTime } from '../words/numbers.js';
import { say } from '../words/say.js';
import { readValue, valueText, valueWords } from './figure-value.js';
import { confidenceWords, figureName, figureSource, figureUnit } from './figure-words.js';

type View = FigureList['figures'][number];

interface Props {
  readonly species: string;
  readonly view: View;
  readonly onChanged: () => void;
}

/** Sets a figure of the house, or goes back to the shipped one, with a reason. */
function EditFigure({ species, view: { figure, shipped, own, changes }, onChanged }: Props): VNode {
  const [text, setText] = useState(valueText(figure.value));
  const [why, setWhy] = useState('');
  const [trouble, setTrouble] = useState<string | null>(null);
  const read = readValue(text, figure.value);
  const reason = why.trim();
  const set = (value: View['figure']['value'] | null): void => {
    const at = { species, figure: figure.name };
    const body = { value, why: reason, changes: changes.length };
    ask<'setFigure'>('put', '/figures/{species}/{figure}', { at, body }).then(
      () => {
        announce(say('figure.stored'));
        onChanged();
      },
      (error: unknown) => {
        setTrouble(error instanceof Error ? error.message : String(error));
      },
    );
  };
  return (
    <form
      class="stack"
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        if (read !== null && reason !== '') set(read);
      }}
    >
      <TextField
        label={say('figure.value')}
        unit={figureUnit(figure)}
        value={text}
        onInput={setText}
        wrong={read === null ? say('entry.no-number') : null}
      />
      <TextField label={say('figure.why')} hint={say('figure.why-hint')} value={why} onInput={setWhy} required />
      <Trouble text={trouble} />
      <p class="side-by-side">
        <button type="submit" class="button main" disabled={read === null || reason === ''}>
          {say('figure.store')}
        </button>
        {own && (
          <Button
            disabled={reason === ''}
            onClick={() => {
              set(null);
            }}
          >
            {shipped === null ? say('figure.take-away') : say('figure.back', { value: valueWords(shipped.value) })}
          </Button>
        )}
      </p>
    </form>
  );
}

function History({ changes }: Pick<View, 'changes'>): VNode | null {
  if (changes.length === 0) return null;
  return (
    <details>
      <summary>{say('figure.history', { n: changes.length })}</summary>
      <ul>
        {changes.map(({ value, why, by, at }) => (
          <li key={at}>
            {value === null ? say('figure.went-back') : valueWords(value)}: {why} (
            {say('result.signed', { by, at: dateTime(at) })})
          </li>
        ))}
      </ul>
    </details>
  );
}

/** One figure: its value, where it is from, and what was done to it. */
export function FigureCard(props: Props): VNode {
  const { figure, shipped, own, changes } = props.view;
  const [open, setOpen] = useState(false);
  const name = figureName(figure);
  return (
    <li class="stack figure-card">
      <div class="side-by-side spread">
        <div>
          <strong>{name}</strong> <span class="soft small">{figure.name}</span>
          <br />
          <span class="great">{valueWords(figure.value)}</span> {figureUnit(figure)}
          {own && shipped !== null && (
            <span class="soft"> {say('figure.instead-of', { value: valueWords(shipped.value) })}</span>
          )}
        </div>
        {mayManage.value && (
          <Button
            label={say('figure.change', { name })}
            pressed={open}
            onClick={() => {
              setOpen(!open);
            }}
          >
            {say('figure.change-short')}
          </Button>
        )}
      </div>
      <p class="small">
        {say('report.source')}: {figureSource(figure)}{' '}
        <span class={own || figure.confidence === 'read' ? 'chip done' : 'chip open'}>{confidenceWords(figure)}</span>
      </p>
      <History changes={changes} />
      {open && <EditFigure {...props} />}
    </li>
  );
}
