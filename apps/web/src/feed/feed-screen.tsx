import type { FeedDay } from '@veligrid/api';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { DayBar } from '../parts/day-bar.js';
import { Trouble } from '../parts/trouble.js';
import { Waiting } from '../parts/waiting.js';
import { Warnings } from '../parts/warnings.js';
import { useAnswer } from '../parts/use-answer.js';
import { writeAddress } from '../state/address.js';
import { limitsWords, volumeWords, wholePercent } from '../words/amounts.js';
import { deviceZone } from '../words/dates.js';
import { threeFigures } from '../words/numbers.js';
import { say, sayOr } from '../words/say.js';
import { DoseCell } from './dose-cell.js';
import { FeedCultures } from './feed-cultures.js';
import { FeedFigures } from './feed-figures.js';
import { LeftField } from './left-field.js';

type Tank = FeedDay['tanks'][number];
type Named = Tank['tank'];

/** More tanks than this are printed small, so that they fit on a sheet. */
const MANY = 12;
/** Less of the target than this is told. */
const FULL = 0.995;

/** Warnings that the page says in words of its own. */
const TOLD: readonly string[] = ['culture-short', 'tank-short'];

interface RowProps {
  readonly tank: Tank;
  readonly cultures: readonly Named[];
  readonly day: string;
  readonly onChanged: () => void;
}

function About({ tank: { tank, volumeMl } }: { readonly tank: Tank }): VNode {
  return (
    <th scope="row">
      <a href={writeAddress({ screen: 'tank', id: tank.id })}>{tank.name}</a>
      <div class="soft small">{volumeWords(volumeMl)}</div>
    </th>
  );
}

function Larvae({ tank: { batch, present, length, stage } }: { readonly tank: Tank }): VNode {
  return (
    <td data-head={say('feed.larvae')}>
      {limitsWords(present)}
      <div class="small">
        <a href={writeAddress({ screen: 'batch', id: batch.id })}>{batch.name}</a>, {sayOr(`stage.${stage}`, stage)}
        {length !== null && (
          <>
            ,{' '}
            <a href={writeAddress({ screen: 'sign-off', count: length.sample.id })}>
              {say('morning.um', { length: threeFigures(length.mean.estimate) })}
            </a>
          </>
        )}
      </div>
    </td>
  );
}

function Row({ tank, cultures, day, onChanged }: RowProps): VNode {
  const { targetCellsPerMl, partOfTarget, cellsPerLarvaPerDay } = tank;
  return (
    <tr>
      <About tank={tank} />
      <Larvae tank={tank} />
      <td data-head={say('feed.target')}>
        {threeFigures(targetCellsPerMl)}
        {partOfTarget < FULL && (
          <div>
            <span class="chip bad">{say('feed.reaches', { part: wholePercent(partOfTarget) })}</span>
          </div>
        )}
        {cellsPerLarvaPerDay !== null && (
          <div class="soft small">{say('feed.per-larva', { cells: threeFigures(cellsPerLarvaPerDay.estimate) })}</div>
        )}
      </td>
      <td class="left" data-head={say('feed.left')}>
        <LeftField key={`${tank.tank.id}${day}`} tank={tank} day={day} onChanged={onChanged} />
      </td>
      {cultures.map((culture) => {
        const dose = tank.doses.find((one) => one.culture.id === culture.id);
        return (
          <td key={culture.id} data-head={culture.name}>
            {dose === undefined ? '–' : <DoseCell dose={dose} tank={tank.tank} day={day} onChanged={onChanged} />}
          </td>
        );
      })}
    </tr>
  );
}

function Sheet({ feed, again }: { readonly feed: FeedDay; readonly again: () => void }): VNode {
  const asked = new Map(feed.tanks.flatMap(({ doses }) => doses.map(({ culture }) => [culture.id, culture])));
  const cultures = feed.cultures.map(({ culture }) => culture).filter(({ id }) => asked.has(id));
  return (
    <div class="sheet">
      <table class="stacked feed">
        <caption class="unseen">{say('feed.title')}</caption>
        <thead>
          <tr>
            <th scope="col">{say('morning.tank')}</th>
            <th scope="col">{say('feed.larvae')}</th>
            <th scope="col">{say('feed.target')}</th>
            <th scope="col">{say('feed.left')}</th>
            {cultures.map(({ id, name }) => (
              <th key={id} scope="col">
                {name}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {feed.tanks.map((tank) => (
            <Row key={tank.tank.id} tank={tank} cultures={cultures} day={feed.day} onChanged={again} />
          ))}
        </tbody>
      </table>
    </div>
  );
}

/** What every tank is fed today, ticked off as it is given; one sheet of paper. */
export function FeedScreen({ day }: { readonly day: string | null }): VNode {
  const query = { zone: deviceZone(), ...(day === null ? {} : { day }) };
  const { value, trouble, again } = useAnswer(() => ask<'getFeed'>('get', '/feed', { query }), [day]);
  if (value === null) return <Waiting trouble={trouble} />;
  return (
    <div class="stack page broad on-one-sheet" data-many={value.tanks.length > MANY ? 'yes' : 'no'}>
      <DayBar screen="feed" day={value.day} today={value.today} title={say('feed.title')} />
      <Trouble text={trouble} />
      {value.tanks.length === 0 ? <p class="sheet">{say('feed.none')}</p> : <Sheet feed={value} again={again} />}
      <Warnings warnings={value.warnings.filter(({ code }) => !TOLD.includes(code))} />
      {value.notFed.length > 0 && (
        <p class="sheet">
          <strong>{say('feed.not-fed')}</strong>{' '}
          {value.notFed.map(({ tank, why }) => `${tank.name}: ${say(`feed.${why}`)}`).join('; ')}
        </p>
      )}
      <FeedCultures cultures={value.cultures} />
      <FeedFigures figures={value.figures} />
    </div>
  );
}
