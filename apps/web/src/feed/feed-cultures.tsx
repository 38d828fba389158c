import type { FeedDay } from '@veligrid/api';
import type { VNode } from 'preact';
import { writeAddress } from '../state/address.js';
import { volumeWords } from '../words/amounts.js';
import { shortMoment } from '../words/dates.js';
import { threeFigures } from '../words/numbers.js';
import { say } from '../words/say.js';

type Culture = FeedDay['cultures'][number];

const LITRE_ML = 1000;

function Says({ culture: { runShort, leftOut, old, reading } }: { readonly culture: Culture }): VNode | null {
  if (leftOut !== null) return <span class="chip bad">{say(`feed.${leftOut}`)}</span>;
  if (runShort.length > 0)
    return <span class="chip bad wrap">{say('feed.short', { tanks: runShort.join(', ') })}</span>;
  return old && reading !== null ? <span class="chip open">{say('culture.old')}</span> : null;
}

/** Each culture: what there is, what is asked of it, and which tanks go short. */
export function FeedCultures({ cultures }: { readonly cultures: readonly Culture[] }): VNode {
  return (
    <section class="sheet stack">
      <h2>{say('nav.cultures')}</h2>
      <table class="stacked">
        <thead>
          <tr>
            <th scope="col">{say('culture.name')}</th>
            <th scope="col">{say('culture.density')}</th>
            <th scope="col">{say('feed.there-is')}</th>
            <th scope="col">{say('feed.asked')}</th>
            <th scope="col">{say('feed.handed')}</th>
            <th scope="col">{say('feed.says')}</th>
          </tr>
        </thead>
        <tbody>
          {cultures.map((one) => (
            <tr key={one.culture.id}>
              <th scope="row">
                <a href={writeAddress({ screen: 'cultures' })}>{one.culture.name}</a>{' '}
                <span class="soft small">{one.alga}</span>
              </th>
              <td data-head={say('culture.density')}>
                {one.reading === null ? (
                  '–'
                ) : (
                  <>
                    {say('culture.per-ml', { cells: threeFigures(one.reading.cellsPerMl) })}{' '}
                    <span class="soft small">{shortMoment(one.reading.at)}</span>
                  </>
                )}
              </td>
              <td data-head={say('feed.there-is')}>{one.litres === null ? '–' : volumeWords(one.litres * LITRE_ML)}</td>
              <td data-head={say('feed.asked')}>{volumeWords(one.askedLitres * LITRE_ML)}</td>
              <td data-head={say('feed.handed')}>{volumeWords(one.handedLitres * LITRE_ML)}</td>
              <td data-head={say('feed.says')}>
                <Says culture={one} />
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
