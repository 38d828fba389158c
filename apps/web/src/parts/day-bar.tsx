import type { ComponentChildren, VNode } from 'preact';
import { Print } from '../print/print-button.js';
import { writeAddress } from '../state/address.js';
import { goTo } from '../state/place.js';
import { dayAfter, longDay } from '../words/dates.js';
import { say } from '../words/say.js';

interface Props {
  readonly screen: 'morning' | 'feed';
  /** The day that is shown. */
  readonly day: string;
  readonly today: boolean;
  readonly title: string;
  readonly children?: ComponentChildren;
}

/** Which day a page shows, the days beside it, and the way to paper. */
export function DayBar({ screen, day, today, title, children }: Props): VNode {
  const at = (days: number): string => writeAddress({ screen, day: dayAfter(day, days) });
  return (
    <>
      <div class="side-by-side spread">
        <h1>
          {title} <span class="day">{longDay(day)}</span>
        </h1>
        <div class="side-by-side not-printed">
          <a class="button" href={at(-1)} aria-label={say('day.before')}>
            ‹
          </a>
          <input
            type="date"
            aria-label={say('day.which')}
            value={day}
            onChange={({ currentTarget: { value } }) => {
              if (value !== '') goTo({ screen, day: value });
            }}
          />
          <a class="button" href={at(1)} aria-label={say('day.after')}>
            ›
          </a>
          {children}
          <Print label={say('day.print')} />
        </div>
      </div>
      {!today && <p class="note not-today">{say('day.not-today')}</p>}
    </>
  );
}
