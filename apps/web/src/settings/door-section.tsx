import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { ScrollX } from '../parts/scroll-x.js';
import { Trouble } from '../parts/trouble.js';
import { useAnswer } from '../parts/use-answer.js';
import { dateTime } from '../words/numbers.js';
import { say } from '../words/say.js';

/** Who came in and who was refused, latest first; for managers. */
export function DoorSection(): VNode {
  const { value, trouble } = useAnswer(() => ask<'listDoorEvents'>('get', '/door-events'), []);
  return (
    <details class="sheet">
      <summary>{say('door.title')}</summary>
      <Trouble text={trouble} />
      <ScrollX label={say('door.title')}>
        <table>
          <thead>
            <tr>
              <th scope="col">{say('door.when')}</th>
              <th scope="col">{say('door.what')}</th>
              <th scope="col">{say('door.about')}</th>
              <th scope="col">{say('door.by')}</th>
            </tr>
          </thead>
          <tbody>
            {value?.events.map(({ at, what, about, by }) => (
              <tr key={`${at} ${what} ${about}`}>
                <td>{dateTime(at)}</td>
                <td>{say(`door.${what}`)}</td>
                <td>{about ?? say('door.nobody')}</td>
                <td>{by === 'nobody' ? '' : by}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </ScrollX>
    </details>
  );
}
