import type { BatchSeason, Happening } from '@veligrid/api';
import type { VNode } from 'preact';
import { Chart } from '../charts/chart.js';
import { SurvivalChart } from '../charts/survival-chart.js';
import { ScrollX } from '../parts/scroll-x.js';
import { writeAddress } from '../state/address.js';
import { limitsWords, type ShownLimits } from '../words/limits.js';
import { shortMoment } from '../words/dates.js';
import { decimals, percent, threeFigures } from '../words/numbers.js';
import { say } from '../words/say.js';
import { Moves } from './balance-section.js';
import type { OpenEntry } from './entry-dialog.js';

type Survival = BatchSeason['survival'];

const part = (limits: ShownLimits | null): string =>
  limits === null ? '–' : limitsWords(limits, (one) => percent(one));

const countLink = (id: string, words: string): VNode => (
  <a href={writeAddress({ screen: 'sign-off', count: id })}>{words}</a>
);

function PointTable({ points }: Pick<Survival, 'points'>): VNode {
  return (
    <table>
      <thead>
        <tr>
          <th scope="col">{say('chart.day')}</th>
          <th scope="col">{say('batch.tank')}</th>
          <th scope="col">{say('report.count')}</th>
          <th scope="col">{say('survival.axis')}</th>
        </tr>
      </thead>
      <tbody>
        {points.map(({ sample, tank, day, at, ofStocked }) => (
          <tr key={sample.id}>
            <th scope="row">{day === null ? '–' : decimals(day, 1)}</th>
            <td>{tank.name}</td>
            <td>{countLink(sample.id, shortMoment(at))}</td>
            <td>{part(ofStocked)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

const HEADS = ['from', 'to', 'start', 'out', 'expected', 'alive', 'unexplained', 'part', 'per-day', 'says'] as const;

interface IntervalProps extends Pick<Survival, 'intervals'> {
  /** To name the moves that a number is added up from. */
  readonly timeline: readonly Happening[];
  /** Left out on paper. */
  readonly onOpen?: (entry: OpenEntry) => void;
}

function IntervalTable({ intervals, timeline, onOpen }: IntervalProps): VNode {
  const number = (limits: ShownLimits): string => limitsWords(limits, threeFigures);
  return (
    <table class="small intervals">
      <thead>
        <tr>
          <th scope="col">{say('batch.tank')}</th>
          {HEADS.map((head) => (
            <th key={head} scope="col">
              {say(`survival.${head}`)}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {intervals.map((one) => (
          <tr key={one.toSample.id}>
            <th scope="row">
              <a href={writeAddress({ screen: 'tank', id: one.tank.id })}>{one.tank.name}</a>
            </th>
            <td class="time">
              {one.fromSample === null
                ? `${say('survival.came-in')} ${shortMoment(one.fromAt)}`
                : countLink(one.fromSample.id, shortMoment(one.fromAt))}
            </td>
            <td class="time">{countLink(one.toSample.id, shortMoment(one.toAt))}</td>
            <td>{number(one.start)}</td>
            <td>
              {one.out.map(({ line, animals }) => `${say(`balance.${line}`)} ${threeFigures(animals)}`).join(', ')}{' '}
              {onOpen !== undefined && (
                <Moves moves={one.out.flatMap(({ moves }) => moves)} timeline={timeline} onOpen={onOpen} />
              )}
            </td>
            <td>{number(one.expected)}</td>
            <td>{number(one.alive)}</td>
            <td>{number(one.unexplained)}</td>
            <td>{part(one.survival)}</td>
            <td>{part(one.survivalPerDay)}</td>
            <td>{say(`verdict.${one.verdict}`)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function Summary({ survival }: { readonly survival: Survival }): VNode {
  const { overall, sinceLarvae, usual } = survival;
  return (
    <>
      {overall !== null && <p>{say('survival.overall', { survival: part(overall) })}</p>}
      {sinceLarvae !== null && (
        <p>
          {say('survival.since-larvae', {
            survival: part(sinceLarvae),
            low: percent(usual.low, 0),
            high: percent(usual.high, 0),
          })}
        </p>
      )}
    </>
  );
}

interface Props extends Omit<IntervalProps, 'intervals'> {
  readonly survival: Survival;
  readonly onPaper?: boolean;
}

/** How many came through, from the start and from count to count. */
export function SurvivalSection({ survival, onPaper = false, ...rest }: Props): VNode {
  const { points, intervals } = survival;
  if (points.length === 0) {
    return (
      <section class="sheet stack">
        <h2>{say('survival.title')}</h2>
        <p>{say('batch.not-counted')}</p>
      </section>
    );
  }
  const table = <IntervalTable intervals={intervals} {...rest} />;
  return (
    <Chart
      title={say('survival.title')}
      onPaper={onPaper}
      drawing={<SurvivalChart survival={survival} />}
      table={<PointTable points={points} />}
    >
      <Summary survival={survival} />
      <p class="small soft">{say('survival.how')}</p>
      {onPaper ? (
        <>
          <h3>{say('survival.intervals')}</h3>
          {table}
        </>
      ) : (
        <details>
          <summary>{say('survival.intervals')}</summary>
          <ScrollX label={say('survival.intervals')}>{table}</ScrollX>
        </details>
      )}
    </Chart>
  );
}
