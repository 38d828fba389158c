import type { BatchSeason } from '@veligrid/api';
import type { VNode } from 'preact';
import { Button } from '../parts/button.js';
import { writeAddress } from '../state/address.js';
import { dateTime } from '../words/numbers.js';
import { say } from '../words/say.js';
import type { OpenEntry } from './entry-dialog.js';
import { refusalWords } from './entry-names.js';

interface Props {
  readonly refused: BatchSeason['refused'];
  readonly onOpen: (entry: OpenEntry) => void;
}

/** Entries that can't have happened, each with the way to correct it; nothing when there are none. */
export function RefusedSection({ refused, onOpen }: Props): VNode | null {
  if (refused.length === 0) return null;
  return (
    <section class="note bad stack">
      <h2>{say('refused.title')}</h2>
      <p>{say('refused.how')}</p>
      <ul>
        {refused.map(({ kind, id, at, by, why }) => (
          <li key={id}>
            {dateTime(at)}, {by}: {refusalWords(why)}.{' '}
            {kind === 'sample' ? (
              <a class="button" href={writeAddress({ screen: 'sign-off', count: id })}>
                {say('timeline.count')}
              </a>
            ) : (
              <Button
                onClick={() => {
                  onOpen({ kind, id, of: { kind: 'move', at } });
                }}
              >
                {say('timeline.entry')}
              </Button>
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}
