import type { Morning } from '@veligrid/api';
import type { VNode } from 'preact';
import { ScrollX } from '../parts/scroll-x.js';
import { writeAddress } from '../state/address.js';
import { ageWords, limitsWords, volumeWords, wholePercent } from '../words/amounts.js';
import { shortMoment } from '../words/dates.js';
import { threeFigures } from '../words/numbers.js';
import { say } from '../words/say.js';

const volumeOf = (litres: number | null): string => (litres === null ? '–' : volumeWords(litres * 1000));

interface Props {
  readonly morning: Morning;
}

/** Batches that are in tanks, all of each together. */
export function BatchesBrief({ morning: { batches } }: Props): VNode | null {
  if (batches.length === 0) return null;
  return (
    <section class="sheet stack">
      <h2>{say('nav.batches')}</h2>
      <ScrollX label={say('nav.batches')}>
        <table>
          <thead>
            <tr>
              <th scope="col">{say('morning.batch')}</th>
              <th scope="col">{say('morning.there-now')}</th>
              <th scope="col">{say('morning.of-stocked')}</th>
              <th scope="col" class="number">
                {say('nav.tanks')}
              </th>
            </tr>
          </thead>
          <tbody>
            {batches.map(({ batch, ageDays, tanks, present, survival }) => (
              <tr key={batch.id}>
                <th scope="row">
                  <a href={writeAddress({ screen: 'batch', id: batch.id })}>{batch.name}</a>
                  {ageDays !== null && <span class="soft small"> {ageWords(ageDays)}</span>}
                </th>
                <td>{limitsWords(present)}</td>
                <td>{survival === null ? say('morning.no-survival') : limitsWords(survival, wholePercent)}</td>
                <td class="number">{tanks}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </ScrollX>
    </section>
  );
}

/** Cultures with their last readings; old ones are named as such. */
export function CulturesBrief({ morning: { cultures } }: Props): VNode | null {
  if (cultures.length === 0) return null;
  return (
    <section class="sheet stack">
      <h2>{say('nav.cultures')}</h2>
      <ScrollX label={say('nav.cultures')}>
        <table>
          <thead>
            <tr>
              <th scope="col">{say('culture.name')}</th>
              <th scope="col">{say('culture.density')}</th>
              <th scope="col">{say('culture.volume')}</th>
              <th scope="col">{say('culture.read')}</th>
            </tr>
          </thead>
          <tbody>
            {cultures.map(({ culture, alga, reading, old }) => (
              <tr key={culture.id}>
                <th scope="row">
                  <a href={writeAddress({ screen: 'cultures' })}>{culture.name}</a>{' '}
                  <span class="soft small">{alga}</span>
                </th>
                <td>{reading === null ? '–' : say('culture.per-ml', { cells: threeFigures(reading.cellsPerMl) })}</td>
                <td>{volumeOf(reading?.litres ?? null)}</td>
                <td>
                  {reading !== null && shortMoment(reading.at)}{' '}
                  {old && <span class="chip open">{say(reading === null ? 'culture.never' : 'culture.old')}</span>}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </ScrollX>
    </section>
  );
}

/** Tanks with nothing in them, briefly. */
export function EmptyTanks({ tanks }: { readonly tanks: Morning['empty'] }): VNode | null {
  if (tanks.length === 0) return null;
  return (
    <p class="sheet">
      <strong>{say('morning.empty', { n: tanks.length })}</strong>{' '}
      {tanks.map(({ id, name }, i) => (
        <span key={id}>
          {i > 0 && ', '}
          <a href={writeAddress({ screen: 'tank', id })}>{name}</a>
        </span>
      ))}
    </p>
  );
}
