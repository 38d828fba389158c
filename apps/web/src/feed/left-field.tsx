import type { FeedDay } from '@veligrid/api';
import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { typedNumber } from '../entries/entry-field.js';
import { announce } from '../state/announce.js';
import { mayCount } from '../state/session.js';
import { clockTime } from '../words/dates.js';
import { threeFigures } from '../words/numbers.js';
import { say } from '../words/say.js';

interface Props {
  readonly tank: FeedDay['tanks'][number];
  readonly day: string;
  readonly onChanged: () => void;
}

/** Cells that are left in a tank before it is fed, as somebody counted them. */
export function LeftField({ tank: { tank, left }, day, onChanged }: Props): VNode {
  const [text, setText] = useState(left === null ? '' : String(left.cellsPerMl));
  const store = (): void => {
    const said = text.trim();
    const cellsPerMl = said === '' ? null : Number(typedNumber(said) ?? Number.NaN);
    if (cellsPerMl === (left?.cellsPerMl ?? null)) return;
    if (cellsPerMl !== null && !Number.isFinite(cellsPerMl)) {
      announce(say('entry.no-number'), 'trouble');
      return;
    }
    ask<'noteLeftCells'>('post', '/feed/left', { body: { day, tank: tank.id, cellsPerMl } }).then(
      onChanged,
      (error: unknown) => {
        announce(error instanceof Error ? error.message : String(error), 'trouble');
      },
    );
  };
  const noted = left !== null && (
    <div class="soft small">{say('feed.left-by', { by: left.by, at: clockTime(left.at) })}</div>
  );
  if (!mayCount.value) {
    return (
      <>
        {left === null ? '–' : threeFigures(left.cellsPerMl)}
        {noted}
      </>
    );
  }
  return (
    <>
      <form
        onSubmit={(event) => {
          event.preventDefault();
          store();
        }}
      >
        <input
          type="text"
          inputMode="decimal"
          aria-label={say('feed.left-of', { tank: tank.name })}
          value={text}
          onInput={({ currentTarget }) => {
            setText(currentTarget.value);
          }}
          onBlur={store}
        />
      </form>
      {noted}
    </>
  );
}
