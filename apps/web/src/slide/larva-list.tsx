import type { ReviewedObject } from '@veligrid/review';
import { useEffect, useRef } from 'preact/hooks';
import type { VNode } from 'preact';
import { StageSign } from '../parts/stage-sign.js';
import { decimals } from '../words/numbers.js';
import { say } from '../words/say.js';
import { nextPlace } from './next-place.js';
import type { SlideState } from './slide-state.js';

/** Rows drawn round the selected one: a list of thousands would be slow, and nobody scrolls through it. */
const WINDOW = 30;

/** The larvae of the photo as a list: the same selection as on the photo, for keyboard and screen reader. */
export function LarvaList({ state }: { readonly state: SlideState }): VNode {
  const list = useRef<HTMLUListElement>(null);
  const shown = state.shown.value;
  const at = shown.findIndex(({ id }) => id === state.selectedId.value);
  const first = Math.max(0, Math.min(at < 0 ? 0 : at - WINDOW / 2, shown.length - WINDOW));
  useEffect(() => {
    list.current?.querySelector('[aria-selected="true"]')?.scrollIntoView({ block: 'nearest' });
  }, [at]);
  return (
    <ul
      ref={list}
      class="list-of-larvae"
      role="listbox"
      tabIndex={0}
      aria-label={say('list.label', { n: shown.length })}
      aria-activedescendant={at < 0 ? undefined : `larva-${state.selectedId.value ?? ''}`}
      onKeyDown={(event) => {
        const to = nextPlace(event.key, at, shown.length);
        if (to === null) return;
        event.preventDefault();
        state.choose(shown[to]?.id ?? null);
      }}
    >
      {shown.slice(first, first + WINDOW).map((object, i) => (
        <Row key={object.id} object={object} state={state} place={first + i + 1} of={shown.length} />
      ))}
    </ul>
  );
}

interface RowProps {
  readonly object: ReviewedObject;
  readonly state: SlideState;
  readonly place: number;
  readonly of: number;
}

function Row({ object: { id, stage, lengthUm }, state, place, of }: RowProps): VNode {
  return (
    <li
      id={`larva-${id}`}
      role="option"
      aria-selected={id === state.selectedId.value}
      aria-posinset={place}
      aria-setsize={of}
      onClick={() => {
        state.choose(id);
      }}
    >
      <StageSign stage={stage} />
      <span>{id}</span>
      <span>{say(`stage.${stage}`)}</span>
      <span class="soft">{lengthUm === null ? '' : `${decimals(lengthUm, 0)} µm`}</span>
      {state.look.value.includes(id) && <span class="chip open">{say('look.needs')}</span>}
    </li>
  );
}
