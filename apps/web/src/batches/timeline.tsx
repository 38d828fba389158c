import type { Happening } from '@veligrid/api';
import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { Button } from '../parts/button.js';
import { ScrollX } from '../parts/scroll-x.js';
import { writeAddress } from '../state/address.js';
import { limitsWords } from '../words/limits.js';
import { shortMoment } from '../words/dates.js';
import { dateTime, threeFigures } from '../words/numbers.js';
import { say } from '../words/say.js';
import { factsWords, happeningWords } from './entry-names.js';
import type { OpenEntry } from './entry-dialog.js';

const SHOWN = ['moves', 'care', 'all'] as const;
type Shown = (typeof SHOWN)[number];

const CARE: readonly string[] = ['fed', 'water'];

/** Whether it is feed or water, of which there are many. */
export const isCare = ({ kind }: Pick<Happening, 'kind'>): boolean => CARE.includes(kind);

const isShown = (one: Happening, shown: Shown): boolean => shown === 'all' || isCare(one) === (shown === 'care');

interface Props {
  readonly timeline: readonly Happening[];
  /** Which thing is the same in every line, and so is not told. */
  readonly without: 'batch' | 'tank' | null;
  readonly onOpen?: (entry: OpenEntry) => void;
}

/** Where a line leads: a count to its slides or its result, everything else to its entry. */
function Links({ one, onOpen }: { readonly one: Happening; readonly onOpen: Props['onOpen'] }): VNode {
  return (
    <>
      {one.entries.map(({ kind, id }) => {
        if (kind === 'plan') {
          return (
            <a key={id} class="button quiet" href={writeAddress({ screen: 'plan', id })}>
              {say('timeline.plan')}
            </a>
          );
        }
        if (kind !== 'sample') {
          const what = { when: dateTime(one.at), what: happeningWords(one) };
          return (
            <Button
              key={id}
              look="quiet"
              label={say('timeline.open-entry', what)}
              onClick={() => onOpen?.({ kind, id, of: one })}
            >
              {say('timeline.entry')}
            </Button>
          );
        }
        // a plan tells nothing of photos: it leads to the result of the count it rests on
        const slides = one.photos > 0;
        const place = slides
          ? ({ screen: 'slide', count: id, photo: null, larva: null } as const)
          : ({ screen: 'sign-off', count: id } as const);
        return (
          <a key={id} class="button quiet" href={writeAddress(place)}>
            {say(slides ? 'timeline.slides' : 'timeline.count')}
          </a>
        );
      })}
    </>
  );
}

function Line({ one, without, onOpen }: { readonly one: Happening } & Pick<Props, 'without' | 'onOpen'>): VNode {
  const { at, batch, tank, animals, facts, by } = one;
  return (
    <tr>
      <td class="time" data-head={say('timeline.when')}>
        {onOpen === undefined ? shortMoment(at) : dateTime(at)}
      </td>
      <th scope="row">{happeningWords(one)}</th>
      {without !== 'batch' && (
        <td data-head={say('print.batch')}>
          {batch !== null && <a href={writeAddress({ screen: 'batch', id: batch.id })}>{batch.name}</a>}
        </td>
      )}
      {without !== 'tank' && (
        <td data-head={say('batch.tank')}>
          {tank !== null && <a href={writeAddress({ screen: 'tank', id: tank.id })}>{tank.name}</a>}
        </td>
      )}
      <td class="number" data-head={say('timeline.animals')}>
        {animals !== null && limitsWords(animals, threeFigures)}
      </td>
      <td class="details" data-head={say('timeline.details')}>
        {factsWords(facts)}
      </td>
      <td data-head={say('timeline.by')}>{by}</td>
      {onOpen !== undefined && (
        <td class="links">
          <Links one={one} onOpen={onOpen} />
        </td>
      )}
    </tr>
  );
}

/** Lines of a timeline as a table. */
export function TimelineTable({ timeline, without, onOpen }: Props): VNode {
  return (
    <table class="timeline leads stacked">
      <thead>
        <tr>
          <th scope="col">{say('timeline.when')}</th>
          <th scope="col">{say('timeline.what')}</th>
          {without !== 'batch' && <th scope="col">{say('print.batch')}</th>}
          {without !== 'tank' && <th scope="col">{say('batch.tank')}</th>}
          <th scope="col" class="number">
            {say('timeline.animals')}
          </th>
          <th scope="col">{say('timeline.details')}</th>
          <th scope="col">{say('timeline.by')}</th>
          {onOpen !== undefined && <th scope="col">{say('timeline.open')}</th>}
        </tr>
      </thead>
      <tbody>
        {timeline.map((one, i) => (
          <Line
            key={`${one.at}${one.entries[0]?.id ?? i}`}
            one={one}
            without={without}
            {...(onOpen === undefined ? {} : { onOpen })}
          />
        ))}
      </tbody>
    </table>
  );
}

/** Everything that happened, with what leads to its slides or its entry. */
export function Timeline(props: Props): VNode {
  const [shown, setShown] = useState<Shown>('moves');
  const lines = props.timeline.filter((one) => isShown(one, shown));
  return (
    <section class="sheet stack">
      <div class="side-by-side spread">
        <h2>{say('timeline.title')}</h2>
        <div class="side-by-side" role="group" aria-label={say('timeline.show')}>
          {SHOWN.map((one) => (
            <Button
              key={one}
              pressed={shown === one}
              onClick={() => {
                setShown(one);
              }}
            >
              {say(`timeline.${one}`)}
            </Button>
          ))}
        </div>
      </div>
      {lines.length === 0 ? (
        <p>{say('timeline.none')}</p>
      ) : (
        <ScrollX label={say('timeline.title')}>
          <TimelineTable {...props} timeline={lines} />
        </ScrollX>
      )}
    </section>
  );
}
