import type { TankSeason } from '@veligrid/api';
import type { VNode } from 'preact';
import { ScrollX } from '../parts/scroll-x.js';
import { writeAddress } from '../state/address.js';
import { dateTime } from '../words/numbers.js';
import { say } from '../words/say.js';

/** Batches that were in a tank. */
export const TankStays = ({ stays }: Pick<TankSeason, 'stays'>): VNode => (
  <section class="sheet stack">
    <h2>{say('tank.before')}</h2>
    <ScrollX label={say('tank.before')}>
      <table>
        <thead>
          <tr>
            <th scope="col">{say('print.batch')}</th>
            <th scope="col">{say('batch.since')}</th>
            <th scope="col">{say('tank.until')}</th>
          </tr>
        </thead>
        <tbody>
          {stays.map(({ batch, beganAt, endedAt }) => (
            <tr key={beganAt + batch.id}>
              <th scope="row">
                <a href={writeAddress({ screen: 'batch', id: batch.id })}>{batch.name}</a>
              </th>
              <td>{dateTime(beganAt)}</td>
              <td>{endedAt === null ? say('tank.now-there') : dateTime(endedAt)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </ScrollX>
  </section>
);
