import type { Morning } from '@veligrid/api';
import type { VNode } from 'preact';
import { clockTime, shortDay } from '../words/dates.js';
import { say } from '../words/say.js';

type Due = Morning['tanks'][number]['due'][number];

interface Props {
  readonly due: readonly Due[];
  readonly day: string;
}

function words({ what, state, last, next }: Due, day: string): string {
  if (state === 'done') return say(`due.${what}-done`, { at: last === null ? '' : clockTime(last) });
  if (state === 'later') return say(`due.${what}-later`, { day: shortDay(next) });
  return next === day ? say(`due.${what}`) : say(`due.${what}-since`, { day: shortDay(next) });
}

const LOOK = { due: 'chip open', done: 'chip done', later: 'chip later' } as const;

/** What is to be done with a tank, what was done, and what comes later. */
export function DueChips({ due, day }: Props): VNode {
  return (
    <ul class="chips">
      {due.map((one) => (
        <li key={one.what} class={LOOK[one.state]}>
          {words(one, day)}
        </li>
      ))}
    </ul>
  );
}
